// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/difference.h"

#include "core/distributions.h"

#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

namespace loftline {
namespace {

// Welch's degrees of freedom of a sum of variances of which EXTRA is known.
double DegreesOfFreedom(const GroupMean& one, const GroupMean& other, double extra) {
  const double variance = one.variance_of_mean + other.variance_of_mean + extra;
  const double one_share = one.variance_of_mean / variance, other_share = other.variance_of_mean / variance;
  const double inverse = one_share * one_share / (static_cast<double>(one.count) - 1.0) +
                         other_share * other_share / (static_cast<double>(other.count) - 1.0);
  return inverse > 0.0 ? 1.0 / inverse : std::numeric_limits<double>::infinity();
}

}  // namespace

std::optional<Difference> Compare(const GroupMean& one,
                                  const GroupMean& other,
                                  std::size_t groups,
                                  double extra_variance) {
  if (!(extra_variance >= 0.0)) throw std::invalid_argument("a variance cannot be negative");
  if (groups < 2) throw std::invalid_argument("a comparison needs two groups");
  if (one.count < 2 || other.count < 2) return std::nullopt;
  const double variance = one.variance_of_mean + other.variance_of_mean + extra_variance;
  if (!(variance > 0.0)) return std::nullopt;

  Difference result;
  Estimate& difference = result.difference;
  difference.value = other.mean - one.mean;
  difference.std = std::sqrt(variance);
  result.t = difference.value / difference.std;
  result.df = DegreesOfFreedom(one, other, extra_variance);
  const double family = static_cast<double>(groups);
  const double factor = groups == 2 ? StudentQuantile(0.975, result.df)
                                    : StudentizedRangeQuantile(0.95, family, result.df) / std::numbers::sqrt2;
  result.p = groups == 2 ? StudentTwoTails(result.t, result.df)
                         : StudentizedRangeTail(std::abs(result.t) * std::numbers::sqrt2, family, result.df);
  difference.low_95 = difference.value - factor * difference.std;
  difference.high_95 = difference.value + factor * difference.std;
  return result;
}

}  // namespace loftline
