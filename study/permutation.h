// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace loftline {

// Exact permutation test of Welch's |t| over all ways to deal the values into groups of these sizes: the share of ways
// with at least the |t| seen. Nothing where there are more than MOST_WAYS of them, or fewer than 2 values in a group.
std::optional<double> PermutationP(const std::vector<double>& one,
                                   const std::vector<double>& other,
                                   std::size_t most_ways = 200000);

}  // namespace loftline
