// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/compared_quantities.h"
#include "study/comparison.h"

#include <string>
#include <vector>

namespace loftline {

// One value in the comparison of one quantity.
struct GroupedValue {
  std::size_t flight = 0, design = 0;  // of Comparison
  FlightValue value;
  std::string survey;  // flights of the same survey share its mistakes; so named that only those are equal
};

// Fills the means, the tests and the pairs of QUANTITY from the values, without the sentences.
//
// The mistakes of a survey are the same in all its flights: they cancel between designs that share it, and do not
// average out within one. Each flight i of design g adds c_i u_s to its value, u_s standard normal and common to the
// survey s, c_i from the flight's own budget; the means' covariance is then sum_s C_gs C_hs, C_gs = sum of c_i / n_g
// over the flights of g and s. What of it shows in the scatter within a design already, (sum c_i^2 - n sum_s C_gs^2) /
// ((n - 1) n), is taken off. A survey with a single flight is that flight's own affair.
void CompareGroups(const std::vector<GroupedValue>& values, std::size_t designs, ComparedQuantity* quantity);

}  // namespace loftline
