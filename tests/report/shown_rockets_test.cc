// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/shown_rockets.h"

#include "tests/report/example_flight.h"

#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// The example flies at 20 m/s at launch and 8 m/s at its apogee, and its camera shows 65 px to the metre. Bodies of 20
// px are to stand 2.2 lengths (44 px) apart: at 0.05 s only the fastest do, at 0.1 s all of them do.
ClipTrack PicturesOf(const FlightResult& flight) {
  ClipTrack pictures = ExamplePictures(flight);
  for (TrackPoint& point : pictures.in_backdrop.points) point.length_px = 20.0;
  return pictures;
}

TEST(PickRockets, TakesEqualStepsOfTime) {
  const FlightResult flight = ExampleFlight();
  const ShownRockets shown = PickRockets(flight, PicturesOf(flight));
  EXPECT_DOUBLE_EQ(shown.step_s, 0.1);
  ASSERT_GT(shown.rockets.size(), 15U);
  for (std::size_t i = 0; i < shown.rockets.size(); ++i) {
    const ShownRocket& rocket = shown.rockets[i];
    const double time_s = rocket.frame / 60.0 - 0.5;
    EXPECT_NEAR(time_s, rocket.step * 0.1, 0.51 / 60.0) << "no nearer frame exists";
    EXPECT_DOUBLE_EQ(rocket.length_px, 20.0);
    EXPECT_EQ(rocket.step, shown.rockets.front().step + static_cast<int>(i)) << "no step is left out";
  }
}

TEST(PickRockets, LeavesStepsOutWhereTheRocketWasNotFound) {
  FlightResult flight = ExampleFlight();
  const ClipTrack pictures = PicturesOf(flight);
  const std::size_t all = PickRockets(flight, pictures).rockets.size();
  for (FittedPoint& point : flight.points) point.used = point.time_s < 0.45 || point.time_s > 0.95;
  EXPECT_EQ(PickRockets(flight, pictures).rockets.size(), all - 5) << "0.5 s to 0.9 s";
}

TEST(PickRockets, TakesNothingWithoutPictures) {
  const FlightResult flight = ExampleFlight();
  EXPECT_TRUE(PickRockets(flight, {}).rockets.empty());
  EXPECT_TRUE(PickRockets(RefusedFlight(), ExamplePictures(flight)).rockets.empty());
}

}  // namespace
}  // namespace loftline
