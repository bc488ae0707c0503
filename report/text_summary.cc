// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/text_summary.h"

#include "report/answers.h"
#include "report/format_number.h"

#include <algorithm>
#include <string_view>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kColumns = 80;

bool ContinuesCharacter(char byte) {
  return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

std::size_t Width(std::string_view text) {
  std::size_t width = 0;
  for (const char byte : text) width += ContinuesCharacter(byte) ? 0 : 1;
  return width;
}

std::string Padded(std::string_view text, std::size_t width) {
  const std::size_t used = Width(text);
  return std::string(text) + std::string(used < width ? width - used : 0, ' ');
}

std::string WithoutControls(std::string_view text) {
  std::string shown;
  for (const char byte : text) {
    const auto code = static_cast<unsigned char>(byte);
    shown += code < 0x20 || code == 0x7F ? '?' : byte;
  }
  return shown;
}

// The first WIDTH characters, never half a character.
std::string_view Head(std::string_view text, std::size_t width) {
  std::size_t characters = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (!ContinuesCharacter(text[i]) && characters++ == width) return text.substr(0, i);
  }
  return text;
}

// Broken at blanks into lines of at most kColumns, each after INDENT blanks; words that are too long are cut.
std::string Wrapped(std::string_view text, std::size_t indent) {
  const std::size_t room = kColumns - indent;
  std::string wrapped;
  std::string line;
  const auto end_line = [&] {
    if (!line.empty()) wrapped += std::string(indent, ' ') + line + "\n";
    line.clear();
  };
  while (!text.empty()) {
    const std::size_t blank = text.find(' ');
    std::string_view word = Head(text.substr(0, blank), room);
    const bool whole = word.size() == text.substr(0, blank).size();
    text.remove_prefix(word.size() + (whole && blank != std::string_view::npos ? 1 : 0));
    if (!line.empty() && Width(line) + 1 + Width(word) > room) end_line();
    if (!line.empty()) line += ' ';
    line += word;
  }
  end_line();
  return wrapped;
}

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
      fmt::format("  {}  {}  95 % interval\n", Padded("", label_width), Padded("value ± 95 %", number_width));
  number_width = std::max(number_width, Width("value ± 95 %"));
  for (const Answer& answer : answers) {
    const EstimateText text = FormatPieces(*answer.estimate);
    table += fmt::format("  {}  {}  {} to {}\n",
                         Padded(answer.label, label_width),
                         Padded(FormatEstimate(*answer.estimate, answer.unit), number_width),
                         text.low,
                         text.high);
  }
  return table + "\n";
}

std::string FindingLines(const Finding& finding) {
  std::string lines =
      Wrapped(fmt::format("{}: {}", SeverityName(finding.severity), WithoutControls(finding.message)), 2);
  if (!finding.advice.empty()) lines += Wrapped(WithoutControls(finding.advice), 6);
  return lines;
}

}  // namespace

std::string TextSummary(const FlightResult& result) {
  std::string text = Wrapped(WithoutControls(ClipTitle(result)), 0);
  text += Wrapped(fmt::format("{}. {}", VerdictTitle(result.verdict), VerdictSentence(result)), 0) + "\n";
  text += AnswerTable(result);
  for (const Finding& finding : FindingsByWeight(result)) text += FindingLines(finding);
  if (!result.findings.empty()) text += "\n";
  return text + Wrapped(
                    "Launch safely: eye protection, a clear range, nobody over the tube or down range, an adult in "
                    "charge; local rules and whoever runs the site decide.",
                    0);
}

}  // namespace loftline
