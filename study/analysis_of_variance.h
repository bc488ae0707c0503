// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/group_mean.h"

#include <optional>
#include <vector>

namespace loftline {

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
// Empty groups do not count. Without at least two groups and one more value than groups the mean squares, f and p stay
// as they are above; so do f and p where nothing scatters within the groups.
OneWayAnova AnalyseVariance(const std::vector<std::vector<double>>& groups);

// Welch's test of equal means without equal variances (Biometrika 38 (1951) 330).
struct WelchAnova {
  double f = 0.0, df_between = 0.0, df_within = 0.0, p = 1.0;
};
// EXTRA_COVARIANCE: further, known covariance of the means (row by row), such as of mistakes that groups share; empty:
// none. With it the numerator is the Wald form over the whole covariance, and the corrections for estimated variances
// hold for the share of it that is estimated (after Johansen, Biometrika 67 (1980) 85), so that an error which all
// groups share changes nothing. Nothing where it cannot be had: fewer than two groups, a group of one, no spread at
// all. A covariance of another size throws std::invalid_argument.
std::optional<WelchAnova> AnalyseByWelch(const std::vector<GroupMean>& groups,
                                         const std::vector<double>& extra_covariance = {});

}  // namespace loftline
