// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The error budget against what it claims to be: how far each source alone moves the answers when the flight is fitted
// again and again.
#include "core/monte_carlo.h"
#include "fit/attempt.h"
#include "fit/budget_advice.h"
#include "fit/derived_quantities.h"
#include "fit/fit_flight.h"
#include "tests/support/synthetic_flight.h"

#include <set>

#include <gtest/gtest.h>

namespace loftline {
namespace {

FitOptions WithRocket() {
  FitOptions options;
  options.mass_kg = Measured{8e-3, 1e-4};
  options.diameter_m = Measured{22e-3, 2e-4};
  return options;
}

SyntheticFlight Flight() {
  SyntheticScene scene;
  scene.seed = SeedFrom("budget");
  return Synthesize(scene);
}

TEST(Budget, SharesAddUpToOneLargestFirstAndEachSourceHasAdvice) {
  SyntheticFlight flight = Flight();
  flight.survey.camera.distance_m = 20.0;
  flight.survey.marks.emplace_back(LineMark{{300, 200}, {302, 700}, Lies::kPlumb, {}});
  flight.survey.marks.emplace_back(PointMark{*flight.survey.launch.px, {0, 0}, {}});
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey, WithRocket());
  ASSERT_TRUE(result);
  std::set<std::string> sources;
  for (const QuantityKey& quantity : kQuantities) {
    ASSERT_TRUE(result->budget.contains(quantity.key)) << quantity.key;
    const std::vector<BudgetLine>& lines = result->budget.at(quantity.key);
    double shares = 0.0, variance = 0.0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      shares += lines[i].share;
      variance += lines[i].std * lines[i].std;
      if (i > 0) {
        EXPECT_LE(lines[i].share, lines[i - 1].share);
      }
      EXPECT_FALSE(lines[i].advice.empty()) << lines[i].source;
      sources.insert(lines[i].source);
    }
    EXPECT_NEAR(shares, 1.0, 1e-9) << quantity.key;
    const double std = (result->flight.*quantity.member)->std;
    EXPECT_NEAR(std::sqrt(variance), std, 1e-9 * std) << quantity.key;
  }
  EXPECT_GT(sources.size(), 18U);
}

// Every source's whitened errors are drawn by themselves, the flight is fitted to each draw, and the spread of the
// answers is the source's line. Two draws, one with the signs turned, and their half difference: what is even in the
// errors (curvature) drops out.
TEST(Budget, LinesAreWhatBruteForceRefitsShow) {
  const SyntheticFlight flight = Flight();
  const FitOptions options = WithRocket();
  const Expected<FitInputs> inputs = PrepareFit(flight.track, flight.survey, options);
  ASSERT_TRUE(inputs);
  const Attempt attempt = SolveFromTracks(*inputs, 1.0, options, {}, {});
  ASSERT_TRUE(attempt.Usable());
  FlightResult result;
  FillQuantities(attempt.solution, inputs->outside, 1e9, &result);

  FlightProblemOptions problem;
  problem.covariance = false;
  RandomDraws draws(SeedFrom("refits"));
  const auto refit = [&](const std::vector<double>& errors) {
    problem.residual_shifts = errors;
    for (std::size_t i = 0; i < errors.size(); ++i) problem.residual_shifts[i] -= attempt.solution.residuals[i];
    const FlightSolution solution =
        SolveFlight(attempt.points, inputs->survey, inputs->priors, attempt.solution.unknowns, problem);
    EXPECT_TRUE(solution.converged);
    return Milestones(
        solution.unknowns.motion, inputs->outside.conditions, inputs->outside.height_above_landing_m.value);
  };
  struct Line {
    const char *source, *key;
  };
  constexpr int kPairs = 120;
  for (const char* source : {"path noise", "baseline depth", "mark placing", "shutter readout", "wind", "yaw"}) {
    double speed = 0.0, apogee = 0.0;
    for (int pair = 0; pair < kPairs; ++pair) {
      std::vector<double> errors(attempt.solution.residuals.size());
      for (std::size_t i = 0; i < errors.size(); ++i) {
        errors[i] = attempt.solution.sources[i] == source ? draws.Normal(0.0, 1.0) : 0.0;
      }
      const FlightMilestones one = refit(errors);
      for (double& error : errors) error = -error;
      const FlightMilestones other = refit(errors);
      speed += std::pow(0.5 * (one.launch_speed_m_s.value - other.launch_speed_m_s.value), 2) / kPairs;
      apogee += std::pow(0.5 * (one.apogee_m.value - other.apogee_m.value), 2) / kPairs;
    }
    const auto line_std = [&](const char* key) {
      for (const BudgetLine& line : result.budget.at(key)) {
        if (line.source == source) return line.std;
      }
      return 0.0;
    };
    // 120 draws know a standard deviation to 6.5 %; four of those, and 4 % for curvature.
    EXPECT_NEAR(std::sqrt(speed) / line_std("launch_speed_m_s"), 1.0, 0.3) << source;
    EXPECT_NEAR(std::sqrt(apogee) / line_std("apogee_m"), 1.0, 0.3) << source;
  }
}

TEST(MonteCarlo, AgreesWithTheLinearisedIntervalsWhereTheseHold) {
  SyntheticFlight flight = Flight();
  CameraEvidence& camera = flight.survey.camera;  // a careful survey: little is left that bends
  camera.horizontal_view_deg = 65.0;
  camera.horizontal_view_std_deg = 0.5;
  camera.yaw_deg = 0.0;
  camera.yaw_std_deg = 0.5;
  camera.tilt_deg = 6.0;
  camera.tilt_std_deg = 0.5;
  camera.roll_deg = 0.0;
  camera.roll_std_deg = 0.5;
  FitOptions options = WithRocket();
  const Expected<FlightResult> linear = FitFlight(flight.track, flight.survey, options);
  options.monte_carlo_draws = 400;
  const Expected<FlightResult> drawn = FitFlight(flight.track, flight.survey, options);
  ASSERT_TRUE(linear);
  ASSERT_TRUE(drawn);
  EXPECT_EQ(drawn->monte_carlo_draws, 400);
  EXPECT_LE(drawn->monte_carlo_failed, 4);
  for (const QuantityKey& quantity : kQuantities) {
    const Estimate &one = *(linear->flight.*quantity.member), &other = *(drawn->flight.*quantity.member);
    EXPECT_DOUBLE_EQ(one.value, other.value) << quantity.key;
    // 400 draws know the standard deviation to 3.5 %, an end of the interval to 13 % of it.
    EXPECT_NEAR(other.std / one.std, 1.0, 0.15) << quantity.key;
    EXPECT_NEAR(other.low_95, one.low_95, 0.5 * one.std) << quantity.key;
    EXPECT_NEAR(other.high_95, one.high_95, 0.5 * one.std) << quantity.key;
  }
  const Expected<FlightResult> again = FitFlight(flight.track, flight.survey, options);
  EXPECT_EQ(again->flight.apogee_m->low_95, drawn->flight.apogee_m->low_95) << "the same every time";
}

// Where only the rise was seen the drag is hardly known, and the terminal speed, which goes with its inverse root, is
// lopsided.
TEST(MonteCarlo, IntervalsAreLopsidedWhereTheyMustBe) {
  SyntheticScene scene;
  scene.seed = SeedFrom("lopsided");
  scene.last_seen_s = 0.5;
  const SyntheticFlight flight = Synthesize(scene);
  FitOptions options = WithRocket();
  options.monte_carlo_draws = 400;
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey, options);
  ASSERT_TRUE(result);
  const Estimate& terminal = *result->flight.terminal_speed_m_s;
  EXPECT_GT(terminal.high_95 - terminal.value, 1.2 * (terminal.value - terminal.low_95));
}

TEST(Student, FewPointsWidenTheIntervals) {
  SyntheticScene scene;
  scene.seed = SeedFrom("few");
  scene.rate_hz = 8;
  scene.noise_px = 2.0;
  const SyntheticFlight flight = Synthesize(scene);
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_LT(result->path_noise_dof, 60.0);
  const Estimate& speed = *result->flight.launch_speed_m_s;
  EXPECT_GT((speed.high_95 - speed.low_95) / (2.0 * speed.std), 1.965);
}

TEST(BudgetAdvice, KnowsNothingOfWhatIsNoSource) {
  EXPECT_TRUE(BudgetAdvice("the moon").empty());
}

}  // namespace
}  // namespace loftline
