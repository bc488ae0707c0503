// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/day_accuracy.h"

#include "tests/accuracy/day_figures.h"
#include "tests/accuracy/drawn_days.h"
#include "tests/accuracy/flown_days.h"

#include <fmt/format.h>

namespace loftline::accuracy {

namespace {

std::vector<std::string> Report(const std::string& title, const std::vector<JudgedDay>& days) {
  fmt::print("{}\n\n{}\n", title, JudgedDayTable(days));
  return DayMisses(days);
}

}  // namespace

int RunDayAccuracy(const DayRequest& request) {
  const int drawn_each = 4 * request.days_each;  // they cost little
  std::vector<std::string> misses =
      Report(fmt::format("Standard ranges drawn about the truth, {} days of each kind", drawn_each),
             CompareDrawnDays(DrawnDayKinds(), request.first_seed, drawn_each));
  for (const std::string& miss :
       Report(fmt::format("Flights fitted from made-up tracks, {} days of each kind", request.days_each),
              CompareFlownDays(FlownDayKinds(), request.first_seed, request.days_each))) {
    misses.push_back(miss);
  }
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n",
             misses.empty() ? "All wanted figures are reached." : fmt::format("{} figures are missed.", misses.size()));
  return misses.empty() ? 0 : 1;
}

}  // namespace loftline::accuracy
