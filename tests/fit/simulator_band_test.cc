// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/simulator_band.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::IsEmpty;

SimulatedFlight Flight() {
  SimulatedFlight flight;
  flight.time_s = {0.0, 1.0, 2.0};
  flight.x_m = {10.0, 13.0, 16.0};  // 3, 4, 5: 5 m and 10 m from the start
  flight.y_m = {1.0, 5.0, 9.0};
  flight.vx_m_per_s = {3.0, 3.0, -3.0};
  flight.speed_m_per_s = {5.0, 5.0, 5.0};
  return flight;
}

SimulatorBand Band(const std::vector<std::string>& texts) {
  SimulatorBand band;
  for (const std::string& text : texts) EXPECT_TRUE(AddToBand(text, band)) << text;
  return band;
}

TEST(SimulatorBand, TakesAPercentageOfTheDistanceFromTheStart) {
  SimulatedFlight flight = Flight();
  ApplyBand(Band({"2 %"}), flight);
  EXPECT_THAT(flight.x_std_m, ElementsAre(0.0, DoubleNear(0.1, 1e-12), DoubleNear(0.2, 1e-12)));
  EXPECT_EQ(flight.y_std_m, flight.x_std_m);
  // Each part of the speed by 2 % of the whole, as each coordinate by 2 % of the distance. vy is not told: 4 m from row
  // to row, a second each; 3, 4, 5 again.
  for (const double std : flight.vx_std_m_per_s) EXPECT_THAT(std, DoubleNear(0.1, 1e-12));
  EXPECT_THAT(flight.speed_std_m_per_s, ElementsAre(0.1, 0.1, 0.1));
  EXPECT_EQ(flight.vy_std_m_per_s, flight.vx_std_m_per_s);
}

TEST(SimulatorBand, AddsSquaresOfSeveral) {
  SimulatedFlight flight = Flight();
  ApplyBand(Band({"4 cm", "0.6 %", "0.1 m/s"}), flight);
  EXPECT_THAT(flight.x_std_m[0], DoubleNear(0.04, 1e-12));
  EXPECT_THAT(flight.x_std_m[1], DoubleNear(0.05, 1e-12));
  EXPECT_THAT(flight.vx_std_m_per_s[0], DoubleNear(std::hypot(0.03, 0.1), 1e-12));
}

TEST(SimulatorBand, LeavesWhatTheTableTells) {
  SimulatedFlight flight = Flight();
  flight.y_std_m = {0.5, 0.5, 0.5};
  ApplyBand(Band({"0.3 m"}), flight);
  EXPECT_THAT(flight.y_std_m, ElementsAre(0.5, 0.5, 0.5));
  EXPECT_THAT(flight.x_std_m, ElementsAre(0.3, 0.3, 0.3));
  EXPECT_THAT(flight.vx_std_m_per_s, IsEmpty());
}

TEST(SimulatorBand, KnowsHeightsAlone) {
  SimulatedFlight flight = Flight();
  flight.x_m.clear();
  ApplyBand(Band({"10 %"}), flight);
  EXPECT_THAT(flight.x_std_m, IsEmpty());
  EXPECT_THAT(flight.y_std_m, ElementsAre(0.0, DoubleNear(0.4, 1e-12), DoubleNear(0.8, 1e-12)));
}

TEST(SimulatorBand, RefusesOtherThings) {
  for (const char* const text : {"", "2", "0 %", "-1 m", "3 kg", "1 +- 0.1 m", "much"}) {
    SimulatorBand band;
    const Status status = AddToBand(text, band);
    ASSERT_FALSE(status) << text;
    EXPECT_EQ(status.error().code, "bad-value");
  }
  SimulatorBand band = Band({"2 %"});
  EXPECT_FALSE(AddToBand("3 %", band));
}

}  // namespace
}  // namespace loftline
