// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/comparison_text.h"

#include "core/wrap_text.h"
#include "report/answers.h"
#include "report/comparison_words.h"
#include "report/terminal_text.h"

#include <array>

#include <fmt/format.h>

namespace loftline {
namespace {

// In reading order; those that do not fit beside each other give way from the end.
struct Column {
  const char* key;
  const char* title;
};
constexpr std::array<Column, 4> kColumns{{{"standard_range_m", "standard range"},
                                          {"range_m", "range as launched"},
                                          {"drag_coefficient", "drag coeff."},
                                          {"launch_speed_m_s", "launch speed"}}};
constexpr std::array<const char*, 2> kPairQuantities{"standard_range_m", "drag_coefficient"};

std::string Paragraph(const std::string& text, std::size_t indent = 0) {
  return Wrapped(WithoutControls(text), indent);
}

std::string DesignTable(const Comparison& comparison) {
  std::vector<std::string> titles{comparison.grouped_by.empty() ? "design" : WithoutControls(comparison.grouped_by),
                                  "used"};
  std::vector<const ComparedQuantity*> quantities;
  for (const Column& column : kColumns) {
    const ComparedQuantity* quantity = FindQuantity(comparison, column.key);
    if (quantity == nullptr) continue;
    quantities.push_back(quantity);
    titles.emplace_back(column.title);
  }
  std::vector<std::vector<std::string>> rows{titles};
  for (std::size_t i = 0; i < comparison.designs.size(); ++i) {
    const ComparedDesign& design = comparison.designs[i];
    rows.push_back({WithoutControls(design.name), fmt::format("{}/{}", design.used, design.launched)});
    for (const ComparedQuantity* quantity : quantities) rows.back().push_back(MeanText(*quantity, i));
  }
  return TextTable(rows) + "(means ± their 95 % uncertainty)\n\n";
}

std::string PairLines(const Comparison& comparison) {
  std::string lines;
  for (const char* key : kPairQuantities) {
    const ComparedQuantity* quantity = FindQuantity(comparison, key);
    if (quantity == nullptr || quantity->pairs.empty()) continue;
    lines += Paragraph(quantity->label + ":");
    for (const PairComparison& pair : quantity->pairs) lines += Paragraph(pair.sentence, 2);
    lines += "\n";
  }
  return lines;
}

std::string LeftOutLines(const Comparison& comparison) {
  std::string lines;
  for (const LeftOut& group : FlightsLeftOut(comparison)) {
    std::string names;
    for (const std::string& flight : group.flights) names += (names.empty() ? "" : "; ") + flight;
    lines += Paragraph(fmt::format("{}{}: {}", group.altogether ? "left out: " : "in part: ", names, group.why), 2);
  }
  return lines.empty() ? "" : lines + "\n";
}

}  // namespace

std::string ComparisonText(const Comparison& comparison) {
  std::string text = Paragraph(ComparisonTitle(comparison) + " - " + UsedSentence(comparison)) + "\n";
  text += Paragraph(comparison.headline) + "\n";
  for (const Finding& warning : FindingsByWeight(comparison.warnings)) text += FindingLines(warning);
  if (!comparison.warnings.empty()) text += "\n";
  text += Paragraph(StandardLaunchSentence(comparison.standard)) + "\n";
  text += DesignTable(comparison) + PairLines(comparison);
  if (comparison.tape && !comparison.tape->sentence.empty()) text += Paragraph(comparison.tape->sentence) + "\n";
  return text + LeftOutLines(comparison) + SafetyLines();
}

}  // namespace loftline
