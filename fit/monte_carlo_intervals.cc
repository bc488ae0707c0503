// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/monte_carlo_intervals.h"

#include "core/monte_carlo.h"
#include "core/uncertainty.h"
#include "fit/derived_quantities.h"
#include "fit/path_noise.h"

#include <algorithm>
#include <map>

namespace loftline {
namespace {

constexpr std::uint64_t kSeed = 20070101;  // any will do
constexpr double kCoverage = 0.95;

// What other measurements would have given in place of the solution's whitened residuals.
std::vector<double> DrawShifts(const FlightSolution& solution,
                               const PathNoise& path_noise,
                               double path_dof,
                               RandomDraws* draws) {
  // The noise scale was estimated: true over estimated is as the root of dof over chi-square.
  double chi_square = 0.0;
  const int dof = std::max(1, static_cast<int>(std::lround(path_dof)));
  for (int i = 0; i < dof; ++i) chi_square += std::pow(draws->Normal(0.0, 1.0), 2);
  const double noise = std::sqrt(dof / chi_square);
  const std::vector<double> of_path = path_noise.Draw(noise, draws);
  auto next_of_path = of_path.begin();
  std::vector<double> shifts;
  shifts.reserve(solution.residuals.size());
  for (std::size_t i = 0; i < solution.residuals.size(); ++i) {
    const double error = solution.sources[i] == kPathNoise ? *next_of_path++ : draws->Normal(0.0, 1.0);
    shifts.push_back(-solution.residuals[i] - error);
  }
  return shifts;
}

Measured Drawn(const Measured& measured, RandomDraws* draws) {
  return {draws->Normal(measured.value, measured.std), measured.std};
}

OutsideInputs DrawOutside(const OutsideInputs& outside, RandomDraws* draws) {
  OutsideInputs drawn = outside;
  drawn.height_above_landing_m = Drawn(outside.height_above_landing_m, draws);
  drawn.air_density_kg_per_m3 = Drawn(outside.air_density_kg_per_m3, draws);
  if (outside.mass_kg) drawn.mass_kg = Drawn(*outside.mass_kg, draws);
  if (outside.diameter_m) drawn.diameter_m = Drawn(*outside.diameter_m, draws);
  return drawn;
}

using Samples = std::map<std::string, std::vector<double>>;

void TakeSample(const FlightSolution& solution, const OutsideInputs& outside, Samples* samples) {
  FlightResult drawn;
  // Only the values are wanted: an estimator without residuals leaves their uncertainties out.
  FillQuantities(solution, outside, kKnownDof, &drawn);
  for (const QuantityKey& quantity : kQuantities) {
    if (const auto& estimate = drawn.flight.*quantity.member) (*samples)[quantity.key].push_back(estimate->value);
  }
}

}  // namespace

Status TakeMonteCarloIntervals(const FitInputs& inputs,
                               const Attempt& attempt,
                               const FitOptions& options,
                               const RunControl& control,
                               FlightResult* result) {
  RandomDraws draws(kSeed);
  const double path_dof = EffectiveDof(attempt.points.size(), attempt.noise);
  const PathNoise path_noise(attempt.points);
  FlightProblemOptions problem;
  problem.loss_scale_sigmas = options.loss_scale_sigmas;
  problem.max_iterations = options.max_iterations;
  problem.covariance = false;
  Samples samples;
  int failed = 0;
  for (int i = 0; i < options.monte_carlo_draws; ++i) {
    if (control.stop.stop_requested()) return Error{ErrorKind::kCancelled, "cancelled", "The fit was stopped.", ""};
    if (control.on_progress) control.on_progress(static_cast<double>(i) / options.monte_carlo_draws);
    problem.residual_shifts = DrawShifts(attempt.solution, path_noise, path_dof, &draws);
    const OutsideInputs outside = DrawOutside(inputs.outside, &draws);
    FlightSolution solution =
        SolveFlight(attempt.points, inputs.survey, inputs.priors, attempt.solution.unknowns, problem, control);
    if (!solution.converged) {
      ++failed;
      continue;
    }
    solution.motion_influence = Eigen::MatrixXd::Zero(kMotionSize, 0);
    TakeSample(solution, outside, &samples);
  }
  result->monte_carlo_draws = options.monte_carlo_draws;
  result->monte_carlo_failed = failed;
  for (const QuantityKey& quantity : kQuantities) {
    auto& estimate = result->flight.*quantity.member;
    const std::vector<double>& sample = samples[quantity.key];
    if (!estimate || sample.size() < static_cast<std::size_t>(kFewestDraws / 2)) continue;
    const Interval interval = SymmetricInterval(sample, kCoverage);
    estimate = Estimate{estimate->value, SampleStd(sample), interval.low, interval.high};
  }
  return Done{};
}

}  // namespace loftline
