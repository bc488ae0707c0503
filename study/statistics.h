// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace loftline {

// Statistics of a few groups of values. All probabilities by R's mathematics library.

// The mean of one group and what is known of its error.
struct GroupMean {
  std::size_t count = 0;
  double mean = 0.0;
  double variance_of_mean = 0.0;  // from the scatter within the group, with count - 1 degrees of freedom
  double spread = 0.0;            // standard deviation of one value about the mean
};

// Plain: every value counts the same.
GroupMean PlainMean(const std::vector<double>& values);

// Values that scatter about their mean by a spread of their own (tau) and by a known uncertainty each: weights
// 1/(tau^2 + std_i^2), tau^2 by Paule and Mandel (J. Res. Natl. Bur. Stand. 87 (1982) 377), the variance of the mean by
// Hartung and Knapp (Stat. Med. 20 (2001) 3875), with n - 1 degrees of freedom. With equal stds it is PlainMean to the
// last digit that matters, so that Welch's test on it is Welch's test. SPREAD is that of values of median std.
GroupMean WeightedMean(const std::vector<Measured>& values);

// One-way analysis of variance (fixed effects, equal variances). The values are centred on their grand mean first:
// seven constant leading digits would leave no more than nine right ones.
struct OneWayAnova {
  double ss_between = 0.0, ss_within = 0.0;
  double df_between = 0.0, df_within = 0.0;
  double ms_between = 0.0, ms_within = 0.0;
  double f = 0.0, p = 1.0;
  double r_squared = 0.0;  // share of the whole spread that lies between the groups
  double residual_std = 0.0;
};
OneWayAnova AnalyseVariance(const std::vector<std::vector<double>>& groups);

// Welch's test of equal means without equal variances (Biometrika 38 (1951) 330).
struct WelchAnova {
  double f = 0.0, df_between = 0.0, df_within = 0.0, p = 1.0;
};
// EXTRA_COVARIANCE: further, known covariance of the means (row by row), such as of mistakes that groups share; empty:
// none. Nothing where it cannot be had: fewer than two groups, a group of one, no spread at all.
std::optional<WelchAnova> AnalyseByWelch(const std::vector<GroupMean>& groups,
                                         const std::vector<double>& extra_covariance = {});

// OTHER minus ONE. GROUPS is the number of groups of the whole family of comparisons: 2 gives Welch's t test
// (Biometrika 34 (1947) 28), more give Games and Howell's (J. Educ. Stat. 1 (1976) 113), whose intervals and
// p hold for all pairs together.
struct Difference {
  Estimate difference;  // std: standard error; interval 95 %
  double t = 0.0, df = 0.0, p = 1.0;
};
// EXTRA_VARIANCE: further, known variance of the difference.
std::optional<Difference> Compare(const GroupMean& one,
                                  const GroupMean& other,
                                  std::size_t groups = 2,
                                  double extra_variance = 0.0);

// Hedges' g, OTHER minus ONE over the root mean square of both spreads, corrected for few values (J. Educ. Stat. 6
// (1981) 107), with the 95 % interval that the noncentral t distribution gives for the t and df of Welch's test.
std::optional<Estimate> EffectSize(const std::vector<double>& one, const std::vector<double>& other);

// Exact permutation test of Welch's |t| over all ways to deal the values into groups of these sizes: the share of ways
// with at least the |t| seen. Nothing where there are more than MOST_WAYS of them, or fewer than 2 values in a group.
std::optional<double> PermutationP(const std::vector<double>& one,
                                   const std::vector<double>& other,
                                   std::size_t most_ways = 200000);

// Two-sided, two-sample t test: its power at COUNT values in each group for a true difference of DIFFERENCE between
// groups of standard deviation STD (the far tail, which rejects in the wrong direction, not counted), and the count
// that reaches POWER, not rounded (at least 2).
double TwoSamplePower(double count, double difference, double std, double alpha = 0.05);
double CountForPower(double power, double difference, double std, double alpha = 0.05);

}  // namespace loftline
