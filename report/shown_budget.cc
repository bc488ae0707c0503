// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/shown_budget.h"

#include "report/answers.h"
#include "report/format_number.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr double kLeastShare = 0.005;      // smaller ones are summed up in one line
constexpr double kLeastWorthDoing = 0.15;  // of some main number's variance: mending less is hardly seen in the number
constexpr std::size_t kMostThingsToDo = 4;

}  // namespace

std::vector<ShownBudgetLine> ShownBudget(std::vector<BudgetLine> lines, std::size_t most) {
  std::stable_sort(
      lines.begin(), lines.end(), [](const BudgetLine& a, const BudgetLine& b) { return a.share > b.share; });
  std::vector<ShownBudgetLine> shown;
  double others_variance = 0.0;
  double others_share = 0.0;
  for (const BudgetLine& line : lines) {
    if (shown.size() < most && line.share >= kLeastShare) {
      shown.push_back({line.source, FormatNumber(line.std, DecimalsFor(line.std)), line.share, line.advice});
    } else {
      others_variance += line.std * line.std;
      others_share += line.share;
    }
  }
  if (others_variance > 0.0) {
    const double others_std = std::sqrt(others_variance);
    shown.push_back({"all others", FormatNumber(others_std, DecimalsFor(others_std)), others_share, ""});
  }
  return shown;
}

std::vector<NextTime> WhatToDoNext(const FlightResult& result) {
  std::vector<NextTime> all;
  for (const Answer& answer : Answers(result)) {
    const auto budget = result.budget.find(answer.key);
    if (!answer.main || !answer.estimate || budget == result.budget.end()) continue;
    for (const BudgetLine& line : budget->second) {
      if (line.advice.empty() || line.share < kLeastWorthDoing) continue;
      const auto same =
          std::find_if(all.begin(), all.end(), [&line](const NextTime& one) { return one.advice == line.advice; });
      const NextTime next{line.source, line.advice, answer.key, line.share};
      if (same == all.end()) {
        all.push_back(next);
      } else if (same->share < line.share) {
        *same = next;
      }
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const NextTime& a, const NextTime& b) { return a.share > b.share; });
  if (all.size() > kMostThingsToDo) all.resize(kMostThingsToDo);
  return all;
}

}  // namespace loftline
