// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/group_mean.h"

#include <cstddef>
#include <optional>

namespace loftline {

// OTHER minus ONE. GROUPS is the number of groups of the whole family of comparisons: 2 gives Welch's t test
// (Biometrika 34 (1947) 28), more give Games and Howell's (J. Educ. Stat. 1 (1976) 113), whose intervals and
// p hold for all pairs together.
struct Difference {
  Estimate difference;  // std: standard error; interval 95 %
  double t = 0.0, df = 0.0, p = 1.0;
};
// EXTRA_VARIANCE: further, known variance of the difference; the degrees of freedom grow with its share, to infinity.
// Nothing where it cannot be had: a group of one, no spread at all.
std::optional<Difference> Compare(const GroupMean& one,
                                  const GroupMean& other,
                                  std::size_t groups = 2,
                                  double extra_variance = 0.0);

}  // namespace loftline
