// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/distributions.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#define MATHLIB_STANDALONE
#include <Rmath.h>

namespace loftline {
namespace {

constexpr int kBelow = 1, kAbove = 0, kNoLog = 0;

void MustLieInside(double probability) {
  if (!(probability > 0.0 && probability < 1.0)) throw std::invalid_argument("a probability must lie between 0 and 1");
}

void MustBeDof(double dof) {
  if (!(dof > 0.0)) throw std::invalid_argument("degrees of freedom must be above zero");
}

void MustBeFiniteDof(double dof) {
  MustBeDof(dof);
  if (std::isinf(dof)) throw std::invalid_argument("degrees of freedom must be finite");
}

void MustBeNumber(double value) {
  if (std::isnan(value)) throw std::invalid_argument("not a number");
}

void MustNotBeNegative(double value) {
  if (!(value >= 0.0)) throw std::invalid_argument("a value of this distribution cannot be negative");
}

void MustBeGroups(double groups) {
  if (!(groups >= 2.0 && std::isfinite(groups))) throw std::invalid_argument("a range needs two groups");
}

// The mean of FUNCTION(z) over a standard normal z, by the trapezoidal rule. For functions that are smooth over a few
// tenths its error falls faster than any power of the step.
template <typename Function>
double NormalMean(const Function& function) {
  constexpr double kStep = 0.1875;
  constexpr int kSteps = 36;  // each way, to 6.75
  double sum = 0.0;
  for (int i = -kSteps; i <= kSteps; ++i) {
    const double z = i * kStep;
    sum += function(z) * dnorm4(z, 0.0, 1.0, kNoLog);
  }
  return sum * kStep;
}

// An estimate of a standard deviation of one, with DOF degrees of freedom, as a function of a standard normal z.
double EstimatedDeviation(double z, double dof) {
  const int tail = z < 0.0 ? kBelow : kAbove;
  return std::sqrt(qchisq(pnorm5(z, 0.0, 1.0, tail, kNoLog), dof, tail, kNoLog) / dof);
}

// Of a range over the true deviation: R's function for infinitely many degrees of freedom.
double RangeTail(double range, double groups) {
  return ptukey(range, 1.0, groups, HUGE_VAL, kAbove, kNoLog);
}

// The root of the tail's logarithm, almost a straight line over that of q, by the Illinois rule from LOW, where the
// tail is larger than TAIL, and HIGH, where it is smaller.
double RangeWithTail(double tail, double groups, double dof, double low, double high) {
  const auto off = [&](double log_q) { return std::log(StudentizedRangeTail(std::exp(log_q), groups, dof) / tail); };
  double a = std::log(low), b = std::log(high), off_a = off(a), off_b = off(b);
  for (int i = 0; i < 60 && off_a > 0.0 && off_b < 0.0; ++i) {
    const double c = (a * off_b - b * off_a) / (off_b - off_a), off_c = off(c);
    if (std::abs(off_c) < 1e-7) return std::exp(c);
    if (off_c > 0.0) {
      a = c, off_a = off_c, off_b *= 0.5;
    } else {
      b = c, off_b = off_c, off_a *= 0.5;
    }
  }
  return std::exp(off_a > 0.0 ? b : a);
}

// R's function turns to a rough approximation from 37.6 on.
constexpr double kLargeNoncentrality = 37.0;

// t > 0 and noncentrality > 0: below T means that chi2 / dof lies above ((z + noncentrality) / t)^2. At a large
// noncentrality z + noncentrality cannot be negative, and the average over z is of a smooth function.
double BelowAtLargeNoncentrality(double t, double dof, double noncentrality) {
  return NormalMean([&](double z) {
    const double ratio = (z + noncentrality) / t;
    return pchisq(dof * ratio * ratio, dof, kAbove, kNoLog);
  });
}

}  // namespace

double NormalQuantile(double probability) {
  MustLieInside(probability);
  return qnorm5(probability, 0.0, 1.0, kBelow, kNoLog);
}

double StudentQuantile(double probability, double dof) {
  MustLieInside(probability);
  MustBeDof(dof);
  return std::isinf(dof) ? NormalQuantile(probability) : qt(probability, dof, kBelow, kNoLog);
}

double StudentTwoTails(double t, double dof) {
  MustBeDof(dof);
  MustBeNumber(t);
  return 2.0 * pt(std::abs(t), dof, kAbove, kNoLog);
}

double FTail(double f, double dof_between, double dof_within) {
  MustBeDof(dof_between);
  MustBeDof(dof_within);
  MustNotBeNegative(f);
  return pf(f, dof_between, dof_within, kAbove, kNoLog);
}

double ChiSquareTail(double chi2, double dof) {
  MustBeFiniteDof(dof);
  MustNotBeNegative(chi2);
  return pchisq(chi2, dof, kAbove, kNoLog);
}

double ChiSquareQuantile(double probability, double dof) {
  MustLieInside(probability);
  MustBeFiniteDof(dof);
  return qchisq(probability, dof, kBelow, kNoLog);
}

double StudentizedRangeTail(double q, double groups, double dof) {
  MustBeGroups(groups);
  MustBeDof(dof);
  MustNotBeNegative(q);
  if (q == 0.0) return 1.0;
  if (std::isinf(q)) return 0.0;
  if (std::isinf(dof)) return std::clamp(RangeTail(q, groups), 0.0, 1.0);
  const double tail = NormalMean([&](double z) { return RangeTail(q * EstimatedDeviation(z, dof), groups); });
  return std::clamp(tail, 0.0, 1.0);
}

double StudentizedRangeQuantile(double probability, double groups, double dof) {
  MustLieInside(probability);
  MustBeGroups(groups);
  MustBeDof(dof);
  // The quantile of two groups is Student's; more groups lie between it and Bonferroni's bound for all their pairs.
  const double tail = 1.0 - probability, pairs = 0.5 * groups * (groups - 1.0);
  const double low = std::numbers::sqrt2 * StudentQuantile(1.0 - 0.5 * tail, dof);
  if (groups == 2.0) return low;
  return RangeWithTail(tail, groups, dof, low, std::numbers::sqrt2 * StudentQuantile(1.0 - 0.5 * tail / pairs, dof));
}

double NoncentralStudentBelow(double t, double dof, double noncentrality) {
  MustBeFiniteDof(dof);
  MustBeNumber(t);
  if (!std::isfinite(noncentrality)) throw std::invalid_argument("the noncentrality must be finite");
  // By symmetry T is made positive. Asked for the tail towards which t points, R's function neither loses digits nor
  // prints that it did.
  if (t < 0.0) return 1.0 - NoncentralStudentBelow(-t, dof, -noncentrality);
  if (noncentrality < -kLargeNoncentrality) return 1.0;
  if (noncentrality <= kLargeNoncentrality) return 1.0 - pnt(t, dof, noncentrality, kAbove, kNoLog);
  return t == 0.0 ? 0.0 : std::clamp(BelowAtLargeNoncentrality(t, dof, noncentrality), 0.0, 1.0);
}

}  // namespace loftline
