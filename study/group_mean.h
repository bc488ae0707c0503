// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <cstddef>
#include <vector>

namespace loftline {

// The mean of one group and what is known of its error.
struct GroupMean {
  std::size_t count = 0;
  double mean = 0.0;
  double variance_of_mean = 0.0;  // from the scatter within the group, with count - 1 degrees of freedom
  double spread = 0.0;            // standard deviation of one value about the mean
  double between = 0.0;           // of it, what the values' own uncertainties do not explain (tau)
};

// Plain: every value counts the same.
GroupMean PlainMean(const std::vector<double>& values);

// Values that scatter about their mean by a spread of their own (tau) and by a known uncertainty each: weights
// 1/(tau^2 + std_i^2), tau^2 by Paule and Mandel (J. Res. Natl. Bur. Stand. 87 (1982) 377), the variance of the mean by
// Hartung and Knapp (Stat. Med. 20 (2001) 3875), with n - 1 degrees of freedom. With equal stds it is PlainMean to the
// last digit that matters, so that Welch's test on it is Welch's test. SPREAD is that of values of median std. A std
// below a millionth of the largest counts as that, so that no value settles the mean alone. A std that is negative or
// not finite, and a value that is not finite, throw std::invalid_argument.
GroupMean WeightedMean(const std::vector<Measured>& values);

}  // namespace loftline
