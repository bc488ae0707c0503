// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/simulated_path.h"

#include "tests/support/synthetic_simulator.h"

#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

SyntheticScene Scene() {
  SyntheticScene scene;
  scene.height_above_landing_m = 0.4;
  return scene;
}

// Rows a tenth of a second apart. The cubic through places and velocities errs by h^4 x'''' / 384, with drag some
// 0.02 mm; that through places alone by h^2 times the slopes' own error.
TEST(SimulatedPath, GoesBetweenRowsAsTheFlightDoes) {
  SimulatedFlight coarse = Simulate(Scene(), 0.1);
  const SimulatedPath with_velocities(coarse);
  coarse.vx_m_per_s.clear();
  coarse.vy_m_per_s.clear();
  const SimulatedPath places_alone(coarse);
  std::vector<double> times_s;
  times_s.reserve(78);
  for (int i = 0; i < 78; ++i) times_s.push_back(0.013 + 0.0371 * i);
  const std::vector<SyntheticState> truth = SyntheticStates(Scene(), times_s);
  for (std::size_t i = 0; i < times_s.size(); ++i) {
    const Eigen::Vector2d true_m(truth[i].at_m.x(), truth[i].at_m.y());
    const Eigen::Vector2d true_m_per_s(truth[i].velocity_m_per_s.x(), truth[i].velocity_m_per_s.y());
    EXPECT_LT((with_velocities.PlaceAt(times_s[i]) - true_m).norm(), 1e-4) << times_s[i];
    EXPECT_LT((with_velocities.VelocityAt(times_s[i]) - true_m_per_s).norm(), 5e-3) << times_s[i];
    EXPECT_LT((places_alone.PlaceAt(times_s[i]) - true_m).norm(), 3e-3) << times_s[i];
  }
}

TEST(SimulatedPath, FindsLaunchApogeeAndLanding) {
  const SyntheticTruth truth = SyntheticTruthOf(Scene());
  const SimulatedPath path(Simulate(Scene(), 0.05));
  EXPECT_DOUBLE_EQ(path.LaunchS(), 0.0);
  ASSERT_TRUE(path.Apogee());
  EXPECT_NEAR(path.Apogee()->time_s, truth.time_to_apogee_s, 1e-4);
  EXPECT_NEAR(path.PlaceAt(path.Apogee()->time_s).y(), truth.apogee_m, 1e-5);
  ASSERT_TRUE(path.DownThroughS(-0.4));
  EXPECT_NEAR(*path.DownThroughS(-0.4), truth.flight_time_s, 1e-5);
  EXPECT_NEAR(path.PlaceAt(*path.DownThroughS(-0.4)).x(), truth.range_m, 1e-4);
  EXPECT_FALSE(path.DownThroughS(-30.0));   // the table ends before
  EXPECT_FALSE(path.DownThroughS(1000.0));  // never was so high
  EXPECT_NEAR(path.SpeedAt(0.0), truth.launch_speed_m_s, 1e-9);
}

TEST(SimulatedPath, LeavesRowsAtRestBeforeTheLaunch) {
  SimulatedFlight flight = Simulate(Scene(), 0.05);
  const auto before = [](std::vector<double>* values, std::vector<double> rows) {
    values->insert(values->begin(), rows.begin(), rows.end());
  };
  for (double& time_s : flight.time_s) time_s += 1.0;
  before(&flight.time_s, {0.0, 0.5});
  for (auto* values : {&flight.x_m, &flight.y_m, &flight.vx_m_per_s, &flight.vy_m_per_s}) before(values, {0.0, 0.0});
  EXPECT_DOUBLE_EQ(SimulatedPath(flight).LaunchS(), 1.0);
}

// A simulator that goes on writing rows after it has come down.
TEST(SimulatedPath, LeavesRowsAtRestAfterTheLanding) {
  SimulatedFlight flight = Simulate(Scene(), 0.02);
  const SyntheticTruth truth = SyntheticTruthOf(Scene());
  for (std::size_t row = 0; row < flight.time_s.size(); ++row) {
    if (flight.time_s[row] < truth.flight_time_s) continue;
    flight.x_m[row] = truth.range_m;
    flight.y_m[row] = -0.4;
  }
  for (int row = 0; row < 20; ++row) {
    flight.time_s.push_back(flight.time_s.back() + 0.02);
    flight.x_m.push_back(truth.range_m);
    flight.y_m.push_back(-0.4);
  }
  flight.vx_m_per_s.clear();
  flight.vy_m_per_s.clear();
  const SimulatedPath path(flight);
  EXPECT_LT(path.last_s(), truth.flight_time_s);
  ASSERT_TRUE(path.DownThroughS(-0.4));
  EXPECT_NEAR(*path.DownThroughS(-0.4), truth.flight_time_s, 1e-3);
  EXPECT_NEAR(path.SpeedAt(*path.DownThroughS(-0.4)), truth.impact_speed_m_s, 0.1);
}

// Heights in centimetres and decimetres, many rows a second: the top is a plateau.
TEST(SimulatedPath, FindsTheTopOfRoundedHeights) {
  const SyntheticTruth truth = SyntheticTruthOf(Scene());
  for (const double digit_m : {0.01, 0.1}) {
    for (const double step_s : {0.005, 0.02}) {
      SimulatedFlight flight = Simulate(Scene(), step_s);
      for (double& y_m : flight.y_m) y_m = digit_m * std::round(y_m / digit_m);
      flight.y_step_m = digit_m;
      flight.vx_m_per_s.clear();
      flight.vy_m_per_s.clear();
      const auto apogee = SimulatedPath(flight).Apogee();
      ASSERT_TRUE(apogee);
      EXPECT_NEAR(apogee->time_s, truth.time_to_apogee_s, 4.0 * apogee->table_std_s + 1e-3)
          << digit_m << " " << step_s;
      EXPECT_LT(apogee->table_std_s, 0.02);
    }
  }
}

// A headwind may carry it back over the launch point: it still set out to the right.
TEST(SimulatedPath, IsNotMirroredByAWindThatCarriesItBack) {
  SyntheticScene scene = Scene();
  scene.angle_deg = 86.5;
  scene.wind_along_m_s = -8.0;
  SimulatedFlight flight = Simulate(scene, 0.02);
  const std::vector<SyntheticState> states = SyntheticStates(scene, flight.time_s);
  for (std::size_t row = 0; row < states.size(); ++row) flight.x_m[row] = states[row].at_m.x();
  flight.vx_m_per_s.clear();
  ASSERT_LT(flight.x_m.back(), -0.5);
  EXPECT_FALSE(SimulatedPath(flight).mirrored());
}

TEST(SimulatedPath, TurnsAFlightToTheLeftRound) {
  SimulatedFlight flight = Simulate(Scene(), 0.05);
  for (double& x_m : flight.x_m) x_m = -x_m;
  for (double& vx : flight.vx_m_per_s) vx = -vx;
  const SimulatedPath path(flight);
  EXPECT_TRUE(path.mirrored());
  EXPECT_FALSE(path.slopes_contradict());
  EXPECT_NEAR(path.PlaceAt(1.0).x(), SyntheticStates(Scene(), {1.0}).front().at_m.x(), 1e-4);
}

// Velocities in feet per second beside places in metres: they are not used, and that is said.
TEST(SimulatedPath, DoesNotBelieveVelocitiesThatContradictThePlaces) {
  SimulatedFlight flight = Simulate(Scene(), 0.02);
  for (double& vy : flight.vy_m_per_s) vy /= 0.3048;
  const SimulatedPath path(flight);
  EXPECT_TRUE(path.slopes_contradict());
  EXPECT_NEAR(path.VelocityAt(1.0).y(), SyntheticStates(Scene(), {1.0}).front().velocity_m_per_s.y(), 0.01);
}

TEST(SimulatedPath, DoesNotBelieveSpeedsInAnotherUnit) {
  SimulatedFlight flight = Simulate(Scene(), 0.02);
  for (std::size_t row = 0; row < flight.time_s.size(); ++row) {
    flight.speed_m_per_s.push_back(std::hypot(flight.vx_m_per_s[row], flight.vy_m_per_s[row]));
  }
  const double speed_m_per_s = flight.speed_m_per_s.front();
  EXPECT_FALSE(SimulatedPath(flight).slopes_contradict());
  for (double& speed : flight.speed_m_per_s) speed *= 3.6;
  EXPECT_TRUE(SimulatedPath(flight).slopes_contradict());
  EXPECT_NEAR(SimulatedPath(flight).SpeedAt(0.0), speed_m_per_s, 1e-6);
}

TEST(SimulatedPath, KnowsWhatRoundingHides) {
  SimulatedFlight flight = Simulate(Scene(), 0.05);
  flight.x_step_m = 0.01;
  flight.y_step_m = 0.1;
  flight.time_step_s = 0.01;
  EXPECT_NEAR(SimulatedPath(flight).RoundingStdM().y(), 0.1 / std::sqrt(12.0), 1e-12);
  EXPECT_DOUBLE_EQ(SimulatedPath(flight).RoundingStdS(), 0.0);  // even steps are exact
  flight.time_s[3] += 0.01;
  EXPECT_NEAR(SimulatedPath(flight).RoundingStdS(), 0.01 / std::sqrt(12.0), 1e-12);
}

TEST(SimulatedPath, HeightsAloneHaveNoWayAlong) {
  SimulatedFlight flight = Simulate(Scene(), 0.05);
  flight.x_m.clear();
  flight.vx_m_per_s.clear();
  const SimulatedPath path(flight);
  EXPECT_TRUE(path.heights_only());
  EXPECT_DOUBLE_EQ(path.PlaceAt(1.0).x(), 0.0);
  EXPECT_NEAR(path.PlaceAt(1.0).y(), SyntheticStates(Scene(), {1.0}).front().at_m.y(), 1e-4);
}

}  // namespace
}  // namespace loftline
