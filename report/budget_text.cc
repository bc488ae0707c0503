// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/wrap_text.h"
#include "report/answers.h"
#include "report/format_number.h"
#include "report/text_summary.h"

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kLeastShare = 0.03;
constexpr std::size_t kMostLines = 6;

std::string Lines(const Answer& answer, const std::vector<BudgetLine>& lines) {
  std::string text = Wrapped(fmt::format("{}, {}:", answer.label, FormatEstimate(*answer.estimate, answer.unit)), 2);
  double others = 0.0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (i >= kMostLines || lines[i].share < kLeastShare) {
      others += lines[i].share;
      continue;
    }
    // 80 columns: 4 for the share's place, 17 for the longest source.
    const std::string advice = Wrapped(lines[i].advice, 29);
    text += fmt::format("    {:3.0f} %  {:<18}{}", 100.0 * lines[i].share, lines[i].source, advice.substr(29));
  }
  if (others >= 0.005) text += fmt::format("    {:3.0f} %  all others\n", 100.0 * others);
  return text + "\n";
}

}  // namespace

std::string BudgetText(const FlightResult& result) {
  std::string text;
  for (const Answer& answer : Answers(result)) {
    const bool wanted = answer.main || answer.key == "drag_coefficient" || answer.key == "drag_per_m";
    const auto lines = result.budget.find(answer.key);
    if (wanted && answer.estimate && lines != result.budget.end()) text += Lines(answer, lines->second);
  }
  if (text.empty()) return text;
  return "\nWhere the uncertainty comes from, largest first, and what would shrink it:\n\n" + text;
}

}  // namespace loftline
