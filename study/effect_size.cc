// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/effect_size.h"

#include "core/distributions.h"
#include "study/difference.h"
#include "study/group_mean.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

// Hedges' exact factor that takes the bias out of a mean over an estimated deviation of DOF > 1 degrees of freedom.
double SmallSampleFactor(double dof) {
  return std::exp(std::lgamma(0.5 * dof) - std::lgamma(0.5 * (dof - 1.0))) / std::sqrt(0.5 * dof);
}

// The degrees of freedom of the mean of both variances; those of Welch's test where the groups are of one size.
double DofOfMeanVariance(const GroupMean& one, const GroupMean& other) {
  const double one_variance = one.spread * one.spread, other_variance = other.spread * other.spread;
  const double sum = one_variance + other_variance;
  return sum * sum /
         (one_variance * one_variance / (static_cast<double>(one.count) - 1.0) +
          other_variance * other_variance / (static_cast<double>(other.count) - 1.0));
}

// The noncentrality at which the probability of a smaller t than T is BELOW. That probability falls as it grows.
double NoncentralityFor(double below, double t, double dof) {
  double low = t - 1.0, high = t + 1.0;
  for (double step = 1.0; NoncentralStudentBelow(t, dof, low) < below; step *= 2.0) low -= step;
  for (double step = 1.0; NoncentralStudentBelow(t, dof, high) > below; step *= 2.0) high += step;
  while (high - low > 1e-10 * std::max(1.0, std::abs(t))) {
    const double middle = 0.5 * (low + high);
    (NoncentralStudentBelow(t, dof, middle) > below ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

std::optional<Estimate> EffectSize(const std::vector<double>& one, const std::vector<double>& other) {
  const GroupMean one_mean = PlainMean(one), other_mean = PlainMean(other);
  const std::optional<Difference> welch = Compare(one_mean, other_mean);
  if (!welch) return std::nullopt;
  const double dof = DofOfMeanVariance(one_mean, other_mean);
  if (!(dof > 1.0)) return std::nullopt;
  const double spread = std::hypot(one_mean.spread, other_mean.spread) * std::sqrt(0.5);
  const double effect_from_noncentrality = welch->difference.std / spread;
  Estimate effect;
  effect.value = SmallSampleFactor(dof) * welch->difference.value / spread;
  effect.low_95 = NoncentralityFor(0.975, welch->t, welch->df) * effect_from_noncentrality;
  effect.high_95 = NoncentralityFor(0.025, welch->t, welch->df) * effect_from_noncentrality;
  effect.std = (effect.high_95 - effect.low_95) / (2.0 * NormalQuantile(0.975));
  return effect;
}

}  // namespace loftline
