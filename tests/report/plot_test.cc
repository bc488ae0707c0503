// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_clock.h"
#include "report/flight_plots.h"
#include "report/plane_to_picture.h"
#include "report/plot_frame.h"
#include "tests/report/example_flight.h"

#include <algorithm>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::HasSubstr;

TEST(RoundTicks, AreRound) {
  EXPECT_THAT(RoundTicks(-0.4, 10.9, 5), ElementsAre(0.0, 5.0, 10.0));
  EXPECT_THAT(RoundTicks(0.0, 1.0, 5),
              ElementsAre(DoubleNear(0.0, 1e-12),
                          DoubleNear(0.2, 1e-12),
                          DoubleNear(0.4, 1e-12),
                          DoubleNear(0.6, 1e-12),
                          DoubleNear(0.8, 1e-12),
                          DoubleNear(1.0, 1e-12)));
  EXPECT_TRUE(RoundTicks(1.0, 1.0, 5).empty());
}

TEST(FlightPlots, DistanceGrowsAlongTheFlight) {
  for (const Direction direction : {Direction::kRight, Direction::kLeft}) {
    const std::vector<Plot> plots = FlightPlots(ExampleFlight(direction));
    ASSERT_EQ(plots.size(), 3U);
    EXPECT_GT(plots[0].x.back(), 10.0);
    EXPECT_TRUE(std::is_sorted(plots[0].x.begin(), plots[0].x.end()));
  }
}

TEST(PlotAsSvg, TellsSeenFromCalculated) {
  const std::vector<Plot> plots = FlightPlots(ExampleFlight());
  const std::string svg = PlotAsSvg(plots[0]);
  EXPECT_THAT(svg, HasSubstr("class=\"curve seen\""));
  EXPECT_THAT(svg, HasSubstr("class=\"curve calculated\""));
  EXPECT_THAT(PlotAsSvg(plots[1]), HasSubstr("class=\"band\""));
  EXPECT_THAT(PlotAsSvg(plots[2]), HasSubstr("class=\"square\""));
}

TEST(FlightPlots, RefusedFlightHasNone) {
  EXPECT_TRUE(FlightPlots(RefusedFlight()).empty());
}

// The example's camera is a pinhole of its own, tilted by 5 degrees: points beside the path must land where it puts
// them.
TEST(PlaneToPicture, AgreesBesideThePath) {
  const FlightResult flight = ExampleFlight();
  const std::optional<PlaneToPicture> map = FindPlaneToPicture(flight.path);
  ASSERT_TRUE(map.has_value());
  const auto& baseline = std::get<BaselineMark>(flight.survey.marks[0]);
  EXPECT_LT((map->PxFromPlane({4.0, -0.35}) - baseline.from_px).norm(), 0.5);
  EXPECT_LT((map->PxFromPlane({14.0, -0.35}) - baseline.to_px).norm(), 0.5);
}

TEST(PlaneToPicture, RefusesAStraightPath) {
  std::vector<PathSample> path(50);
  for (std::size_t i = 0; i < path.size(); ++i) {
    path[i].in_plane_m = Eigen::Vector2d(1.0, 0.5) * static_cast<double>(i);
    path[i].in_px = Eigen::Vector2d(20.0, -10.0) * static_cast<double>(i);
  }
  EXPECT_FALSE(FindPlaneToPicture(path).has_value());
}

TEST(FlightClock, ShowsRealSecondsOfSlowMotion) {
  FlightResult flight = ExampleFlight();
  // Stored eight times slower than it was taken.
  flight.seen_last_s = flight.seen_first_s + 8.0 * (flight.points.back().time_s - flight.points.front().time_s);
  const FlightClock clock(flight);
  EXPECT_NEAR(clock.SinceLaunch_s(flight.seen_last_s), flight.points.back().time_s, 1e-9);
  EXPECT_NEAR(clock.SinceLaunch_s(flight.seen_first_s + 8.0), flight.points.front().time_s + 1.0, 1e-9);
}

TEST(PathAt, LiesBetweenItsNeighbours) {
  const FlightResult flight = ExampleFlight();
  const std::optional<PathSample> middle = PathAt(flight, 0.5 * (flight.path[10].time_s + flight.path[11].time_s));
  ASSERT_TRUE(middle.has_value());
  EXPECT_NEAR(middle->speed_m_s, 0.5 * (flight.path[10].speed_m_s + flight.path[11].speed_m_s), 1e-9);
  EXPECT_FALSE(PathAt(flight, -0.1).has_value());
  EXPECT_FALSE(PathAt(flight, 99.0).has_value());
}

}  // namespace
}  // namespace loftline
