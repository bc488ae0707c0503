// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/attempt.h"

#include "fit/start_values.h"

#include <cmath>

namespace loftline {
namespace {

constexpr double kStartOverNoiseScale = 4.0;  // worse than this, other starting values are tried
constexpr double kCoarseNoiseScale = 20.0;

}  // namespace

Attempt SolveFrom(const FitInputs& inputs,
                  const FlightUnknowns& start,
                  const FitOptions& options,
                  const AttemptOptions& how,
                  const RunControl& control) {
  FlightProblemOptions problem;
  problem.loss_scale_sigmas = options.loss_scale_sigmas;
  problem.max_iterations = options.max_iterations;
  problem.free_length_ratio = how.free_length_ratio;
  problem.covariance = false;  // of the last round only
  Attempt attempt;
  attempt.solution.unknowns = start;
  if (how.near == nullptr) {
    // With the points' standard deviations as they are, the robust loss would take every point for an outlier.
    problem.noise_scale = kCoarseNoiseScale;
    attempt.solution = SolveFlight(inputs.points, inputs.survey, inputs.priors, start, problem, control);
    if (attempt.solution.cancelled) return attempt;
  }
  problem.noise_scale = 1.0;
  attempt.points = how.near == nullptr ? inputs.points : how.near->points;
  attempt.solution =
      SolveFlight(attempt.points, inputs.survey, inputs.priors, attempt.solution.unknowns, problem, control);
  // The noise level comes from the residuals themselves, so solve again with it; twice, since weights follow. Only the
  // last solution must have converged.
  const int rounds = how.near == nullptr ? 2 : 1;
  for (int round = 0; round < rounds && attempt.solution.usable; ++round) {
    attempt.noise = EstimateNoise(inputs.points, attempt.solution);
    attempt.points = WithNoise(inputs.points, attempt.solution, attempt.noise);
    if (round == rounds - 1) {
      problem.drag_changes_s = how.drag_changes_s;
      problem.covariance = true;
    }
    attempt.solution =
        SolveFlight(attempt.points, inputs.survey, inputs.priors, attempt.solution.unknowns, problem, control);
  }
  return attempt;
}

Attempt SolveFromTracks(const FitInputs& inputs,
                        double length_ratio,
                        const FitOptions& options,
                        const AttemptOptions& how,
                        const RunControl& control) {
  const std::optional<FlightUnknowns> start =
      StartValues(inputs.points, inputs.calibration.camera, inputs.priors, inputs.launch_marked, length_ratio);
  if (!start) return {};
  Attempt best = SolveFrom(inputs, *start, options, how, control);
  for (const double factor : {0.3, 3.0}) {
    if (best.solution.cancelled) break;
    if (best.solution.converged && best.NoiseScale() < kStartOverNoiseScale) break;
    FlightUnknowns other = *start;
    other.motion[kLogDrag] += std::log(factor);
    Attempt attempt = SolveFrom(inputs, other, options, how, control);
    if (attempt.solution.converged && (!best.solution.converged || attempt.NoiseScale() < best.NoiseScale())) {
      best = std::move(attempt);
    }
  }
  return best;
}

}  // namespace loftline
