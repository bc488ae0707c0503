// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/power.h"

#include "core/distributions.h"

#include <cmath>
#include <limits>
#include <stdexcept>

namespace loftline {
namespace {

// Beyond it nobody launches, and the search for a count gives up.
constexpr double kMostCount = 1e7;

}  // namespace

double TwoSamplePower(double count, double difference, double std, double alpha) {
  if (!(count >= 2.0)) throw std::invalid_argument("a group needs two values");
  if (!(std >= 0.0) || std::isnan(difference)) throw std::invalid_argument("a spread must be 0 or more");
  if (!(alpha > 0.0 && alpha < 1.0)) throw std::invalid_argument("alpha must lie between 0 and 1");
  if (difference == 0.0) return 0.5 * alpha;
  const double noncentrality = std::sqrt(0.5 * count) * std::abs(difference) / std;
  if (!std::isfinite(noncentrality)) return 1.0;
  const double dof = 2.0 * (count - 1.0);
  return 1.0 - NoncentralStudentBelow(StudentQuantile(1.0 - 0.5 * alpha, dof), dof, noncentrality);
}

double CountForPower(double power, double difference, double std, double alpha) {
  if (!(power > 0.0 && power < 1.0)) throw std::invalid_argument("a power must lie between 0 and 1");
  double low = 2.0, high = 4.0;
  if (TwoSamplePower(low, difference, std, alpha) >= power) return low;
  while (TwoSamplePower(high, difference, std, alpha) < power) {
    low = high;
    high *= 2.0;
    if (high > kMostCount) return std::numeric_limits<double>::infinity();
  }
  while (high - low > 1e-9 * high) {
    const double middle = 0.5 * (low + high);
    (TwoSamplePower(middle, difference, std, alpha) < power ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

double PairAlpha(std::size_t groups, double dof) {
  constexpr double kAlpha = 0.05;
  if (groups <= 2) return kAlpha;
  const double range = StudentizedRangeQuantile(1.0 - kAlpha, static_cast<double>(groups), dof);
  return StudentTwoTails(range / std::sqrt(2.0), dof);
}

}  // namespace loftline
