// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/text_summary.h"

#include "core/wrap_text.h"
#include "report/answers.h"
#include "report/format_number.h"
#include "report/terminal_text.h"

#include <algorithm>
#include <string_view>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

std::string AnswerTable(const FlightResult& result) {
  std::vector<Answer> answers;
  std::size_t label_width = 0;
  std::size_t number_width = 0;
  for (Answer& answer : Answers(result)) {
    if (!answer.estimate) continue;
    label_width = std::max(label_width, Width(answer.label));
    number_width = std::max(number_width, Width(FormatEstimate(*answer.estimate, answer.unit)));
    answers.push_back(std::move(answer));
  }
  if (answers.empty()) return "";
  std::string table =
      fmt::format("  {}  {}  95 % interval\n", PaddedRight("", label_width), PaddedRight("value ± 95 %", number_width));
  number_width = std::max(number_width, Width("value ± 95 %"));
  for (const Answer& answer : answers) {
    const EstimateText text = FormatPieces(*answer.estimate);
    table += fmt::format("  {}  {}  {} to {}\n",
                         PaddedRight(answer.label, label_width),
                         PaddedRight(FormatEstimate(*answer.estimate, answer.unit), number_width),
                         text.low,
                         text.high);
  }
  return table + "\n";
}

}  // namespace

std::string TextSummary(const FlightResult& result) {
  std::string text = Wrapped(WithoutControls(ClipTitle(result)), 0);
  text += Wrapped(fmt::format("{}. {}", VerdictTitle(result.verdict), VerdictSentence(result)), 0) + "\n";
  text += AnswerTable(result);
  if (result.verdict != Verdict::kRefused) text += Wrapped(StraightnessSentence(result.straightness), 0) + "\n";
  for (const Finding& finding : FindingsByWeight(result.findings)) text += FindingLines(finding);
  if (!result.findings.empty()) text += "\n";
  return text + SafetyLines();
}

}  // namespace loftline
