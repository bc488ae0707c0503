// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/drag_change.h"

#include "core/uncertainty.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr int kMoments = 9;
constexpr double kFirstShare = 0.12, kLastShare = 0.8;  // of the time seen; nearer to its ends nothing shows
constexpr double kWorthTryingSigmas = 1.5;              // of the score test, whose noise a change itself raises
// Nine moments, the best of which is taken, and systematic errors that look like flight: six standard uncertainties
// and four tenths more drag, or less in proportion, are asked for.
constexpr double kCertainSigmas = 6.0, kLeastLogChange = 0.34;
constexpr double kLogChangeStd = 1.5;

double Sigmas(const Measured& log_change) {
  return log_change.std > 0.0 ? std::abs(log_change.value) / log_change.std : 0.0;
}

ChangedFlight SolveWithChange(const FitInputs& inputs,
                              const Attempt& steady,
                              const DragChangeTest& test,
                              const FitOptions& options,
                              const RunControl& control) {
  ChangedFlight changed{inputs, {}, test};
  changed.inputs.priors.conditions.drag_change_s = test.change_s;
  changed.inputs.outside.conditions.drag_change_s = test.change_s;
  changed.inputs.priors.log_drag_change = {0.0, kLogChangeStd};
  FlightUnknowns start = steady.solution.unknowns;
  start.motion[kLogDragChange] = std::clamp(test.log_change.value, -0.7, 0.7);
  changed.attempt = SolveFrom(changed.inputs, start, options, {.near = &steady}, control);
  if (!changed.attempt.Usable()) return changed;
  const FlightSolution& solution = changed.attempt.solution;
  changed.change.log_change = {solution.unknowns.motion[kLogDragChange],
                               std::sqrt(solution.motion_covariance(kLogDragChange, kLogDragChange))};
  return changed;
}

// The moment that leaves the least noise, looked for about the one found, which is known to half the distance of the
// moments tested.
ChangedFlight Refined(const FitInputs& inputs,
                      ChangedFlight best,
                      const FitOptions& options,
                      const RunControl& control) {
  const double seen_s = inputs.points.back().stamp_s - inputs.points.front().stamp_s;
  double step_s = (kLastShare - kFirstShare) / (kMoments - 1) * seen_s / 3.0;
  for (int round = 0; round < 2; ++round) {
    const ChangedFlight middle = best;
    for (const double shift_s : {-step_s, step_s}) {
      DragChangeTest test = middle.change;
      test.change_s += shift_s;
      ChangedFlight changed = SolveWithChange(inputs, middle.attempt, test, options, control);
      if (changed.attempt.Usable() && changed.attempt.noise.Size() < best.attempt.noise.Size())
        best = std::move(changed);
    }
    step_s /= 2.0;
  }
  return best;
}

}  // namespace

std::vector<double> ChangeMoments(double first_s, double last_s) {
  std::vector<double> moments_s;
  for (int i = 0; i < kMoments; ++i) {
    const double share = kFirstShare + (kLastShare - kFirstShare) * i / (kMoments - 1);
    moments_s.push_back(first_s + share * (last_s - first_s));
  }
  return moments_s;
}

Estimate FactorOf(const Measured& log_change) {
  const double half = CoverageFactor(kKnownDof, 0.95) * log_change.std;
  const double factor = std::exp(log_change.value);
  return {factor, factor * log_change.std, std::exp(log_change.value - half), std::exp(log_change.value + half)};
}

std::optional<ChangedFlight> FindDragChange(const FitInputs& inputs,
                                            const Attempt& steady,
                                            const FitOptions& options,
                                            const RunControl& control) {
  std::vector<DragChangeTest> tests = steady.solution.drag_change_tests;
  std::erase_if(tests, [](const DragChangeTest& test) { return Sigmas(test.log_change) < kWorthTryingSigmas; });
  std::sort(tests.begin(), tests.end(), [](const DragChangeTest& a, const DragChangeTest& b) {
    return Sigmas(a.log_change) > Sigmas(b.log_change);
  });
  if (tests.empty()) return std::nullopt;
  ChangedFlight first = SolveWithChange(inputs, steady, tests.front(), options, control);
  if (!first.attempt.Usable()) return std::nullopt;
  ChangedFlight best = Refined(inputs, std::move(first), options, control);
  if (Sigmas(best.change.log_change) < kCertainSigmas) return std::nullopt;
  if (std::abs(best.change.log_change.value) < kLeastLogChange) return std::nullopt;
  return best;
}

}  // namespace loftline
