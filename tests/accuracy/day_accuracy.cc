// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/day_accuracy.h"

#include "tests/accuracy/day_figures.h"
#include "tests/accuracy/drawn_days.h"

#include <fmt/format.h>

namespace loftline::accuracy {

int RunDayAccuracy(const DayRequest& request) {
  const std::vector<JudgedDay> days = CompareDrawnDays(DrawnDayKinds(), request.first_seed, request.days_each);
  fmt::print("Standard ranges drawn about the truth, {} days of each kind\n\n{}\n", request.days_each, DayTable(days));
  const std::vector<std::string> misses = DayMisses(days);
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n",
             misses.empty() ? "All wanted figures are reached." : fmt::format("{} figures are missed.", misses.size()));
  return misses.empty() ? 0 : 1;
}

}  // namespace loftline::accuracy
