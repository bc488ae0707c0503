// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <string>
#include <vector>

namespace loftline {

// A line of an error budget as pages show it.
struct ShownBudgetLine {
  std::string source;  // "all others" sums up what is too small for a line of its own
  std::string std;     // two significant digits, in the quantity's unit
  double share = 0.0;  // of the variance
  std::string advice;
};

// Largest share first, MOST lines and the rest in one.
inline constexpr std::size_t kMostBudgetLines = 5;
std::vector<ShownBudgetLine> ShownBudget(std::vector<BudgetLine> lines, std::size_t most = kMostBudgetLines);

// What would sharpen the main numbers most: one entry for each advice, best first.
struct NextTime {
  std::string source, advice;
  std::string key;     // the main quantity in whose variance the source has its largest share
  double share = 0.0;  // that share
};
std::vector<NextTime> WhatToDoNext(const FlightResult& result);

}  // namespace loftline
