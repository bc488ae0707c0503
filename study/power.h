// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>

namespace loftline {

// Two-sided, two-sample t test: its power at COUNT values in each group for a true difference of DIFFERENCE between
// groups of standard deviation STD (the far tail, which rejects in the wrong direction, not counted), and the count
// that reaches POWER, not rounded (at least 2; infinite for no difference). Without any spread every difference shows.
// COUNT below 2, a negative STD, and POWER or ALPHA outside 0..1 throw std::invalid_argument.
double TwoSamplePower(double count, double difference, double std, double alpha = 0.05);
double CountForPower(double power, double difference, double std, double alpha = 0.05);

// The significance of one pair's t test that is as strict as comparing all pairs of GROUPS at 5 % together (Tukey 1953;
// Games and Howell use the same range): 0.05 for two groups.
double PairAlpha(std::size_t groups, double dof);

}  // namespace loftline
