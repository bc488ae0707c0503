// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/table_curve.h"

#include "fit/simulator/simulated_path.h"
#include "tests/support/synthetic_simulator.h"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// Evenly from FIRST up to LAST, in steps.
std::vector<double> Times(double first_s, double last_s, double step_s) {
  std::vector<double> times_s;
  const auto count = static_cast<int>(std::floor((last_s - first_s) / step_s + 1e-9)) + 1;
  times_s.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) times_s.push_back(first_s + i * step_s);
  return times_s;
}

// Rows at even steps of a function.
template <typename Function>
TableCurve CurveOf(const Function& function, double step_s, double rounding_std = 0.0) {
  const std::vector<double> times_s = Times(0.0, 3.0, step_s);
  std::vector<double> values;
  values.reserve(times_s.size());
  for (const double time_s : times_s) values.push_back(function(time_s));
  return {times_s, values, {}, rounding_std};
}

TEST(TableCurve, IsExactForACubicAndSaysSo) {
  const auto cubic = [](double t) { return 1.0 + 20.0 * t - 4.9 * t * t + 0.7 * t * t * t; };
  const TableCurve curve = CurveOf(cubic, 0.5);
  for (const double time_s : {0.0, 0.2, 1.33, 2.9, 3.2}) {
    EXPECT_NEAR(curve.Value(time_s), cubic(time_s), 1e-12) << time_s;
    EXPECT_NEAR(curve.Slope(time_s), 20.0 - 9.8 * time_s + 2.1 * time_s * time_s, 1e-11) << time_s;
  }
  EXPECT_NEAR(curve.BetweenRowsStd(1.5), 0.0, 1e-12);  // at a row
}

// Where no parabola would do (sine: derivatives are known exactly), the errors stay within three of what it says.
TEST(TableCurve, KnowsWhatItDoesNotKnowBetweenRows) {
  for (const double step_s : {0.2, 0.3, 0.5}) {
    const TableCurve curve = CurveOf([](double t) { return std::sin(2.0 * t); }, step_s);
    double largest = 0.0, largest_std = 0.0;
    for (const double time_s : Times(0.01, 2.98, 0.013)) {
      const double error = std::abs(curve.Value(time_s) - std::sin(2.0 * time_s));
      const double slope_error = std::abs(curve.Slope(time_s) - 2.0 * std::cos(2.0 * time_s));
      EXPECT_LT(error, 3.0 * curve.BetweenRowsStd(time_s) + 1e-5) << step_s << " " << time_s;
      EXPECT_LT(slope_error, 3.0 * curve.SlopeStd(time_s) + 1e-3) << step_s << " " << time_s;
      largest = std::max(largest, error);
      largest_std = std::max(largest_std, curve.BetweenRowsStd(time_s));
    }
    EXPECT_LT(largest_std, 10.0 * largest) << step_s;  // and is no idle fear
  }
}

TEST(TableCurve, GoesTheLessNoisyWayWhereTheLastDigitIsAll) {
  const auto rounded = [](double t) { return 0.01 * std::round(100.0 * (20.0 * t - 4.9 * t * t)); };
  const TableCurve curve = CurveOf(rounded, 0.02, 0.01 / std::sqrt(12.0));
  for (const double time_s : Times(0.0, 2.98, 0.02)) {
    EXPECT_NEAR(curve.Slope(time_s), 20.0 - 9.8 * time_s, 4.0 * curve.SlopeStd(time_s)) << time_s;
    EXPECT_LT(curve.BetweenRowsStd(time_s + 0.01), 1e-3);
  }
  // The parabola at an end: sqrt(26) / 2 of a value's uncertainty over the step.
  EXPECT_NEAR(curve.SlopeStd(0.0), 0.01 / std::sqrt(12.0) * std::sqrt(26.0) / 2.0 / 0.02, 0.3);
}

TEST(TableCurve, TakesSlopesThatAreTold) {
  const std::vector<double> times_s = {0.0, 1.0, 2.0};
  const TableCurve curve(times_s, {0.0, 15.0, 20.0}, {20.0, 10.0, 0.0}, 0.003);
  EXPECT_FALSE(curve.told_contradict());
  EXPECT_DOUBLE_EQ(curve.Slope(0.0), 20.0);
  EXPECT_DOUBLE_EQ(curve.Value(0.5), 8.75);  // 20 t - 5 t^2
  EXPECT_DOUBLE_EQ(curve.SlopeStd(1.0), 0.0);
  EXPECT_TRUE(TableCurve(times_s, {0.0, 15.0, 20.0}, {65.6, 32.8, 0.0}, 0.003).told_contradict());  // feet
}

TEST(TableCurve, ThreeRowsAreEnoughForACurveButNotForSureSlopes) {
  const TableCurve curve({0.0, 1.0, 2.0}, {0.0, 15.0, 20.0}, {}, 0.0);
  EXPECT_DOUBLE_EQ(curve.Slope(0.0), 20.0);
  EXPECT_DOUBLE_EQ(curve.SlopeStd(0.0), 2.5);  // half of what the straight line says less
}

// A flight with drag in a table so coarse that a launch speed is more than guessed from it.
TEST(TableCurve, CoversAFlightInCoarseRows) {
  SyntheticScene scene;
  scene.speed_m_s = 24.0;
  scene.drag_per_m = 0.03;
  for (const double step_s : {0.1, 0.25, 0.5}) {
    for (const bool velocities : {false, true}) {
      SimulatedFlight flight = Simulate(scene, step_s);
      if (!velocities) {
        flight.vx_m_per_s.clear();
        flight.vy_m_per_s.clear();
      }
      const SimulatedPath path(flight);
      const std::vector<double> times_s = Times(0.0, path.last_s(), 0.0317);
      const std::vector<SyntheticState> truth = SyntheticStates(scene, times_s);
      for (std::size_t i = 0; i < times_s.size(); ++i) {
        const Eigen::Vector2d true_m = truth[i].at_m.head<2>();
        const Eigen::Vector2d std_m = path.BetweenRowsStdM(times_s[i]);
        const Eigen::Vector2d off_m = (path.PlaceAt(times_s[i]) - true_m).cwiseAbs();
        EXPECT_LT(off_m.x(), 3.0 * std_m.x() + 2e-4) << step_s << " s, at " << times_s[i];
        EXPECT_LT(off_m.y(), 3.0 * std_m.y() + 2e-4) << step_s << " s, at " << times_s[i];
      }
      EXPECT_LT(std::abs(path.SpeedAt(0.0) - 24.0), 3.0 * path.TableSpeedStd(0.0) + 1e-9) << step_s;
      ASSERT_TRUE(path.Apogee());
      EXPECT_NEAR(
          path.Apogee()->time_s, SyntheticTruthOf(scene).time_to_apogee_s, 3.0 * path.Apogee()->table_std_s + 2e-4)
          << step_s;
      EXPECT_LT(path.Apogee()->table_std_s, 0.02);
    }
  }
}

}  // namespace
}  // namespace loftline
