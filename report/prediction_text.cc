// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/prediction_text.h"

#include "core/wrap_text.h"
#include "fit/prediction/prediction_file.h"
#include "report/format_number.h"
#include "report/terminal_text.h"

#include <algorithm>
#include <filesystem>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

using Given = PredictionInput::Given;

constexpr std::size_t kLabelWidth = 20;
constexpr double kLeastShare = 0.005;

std::string Plain(const Prediction& prediction, const char* key, int digits) {
  const PredictedQuantity& quantity = prediction.Quantity(key);
  return quantity.estimate ? WithUnit(FormatPlain(quantity.estimate->value, digits), quantity.unit) : "";
}

std::string NameOf(const std::string& path) {
  return WithoutControls(std::filesystem::path(path).filename().string());
}

// Another mass, diameter or air than the measured flight had: only the drag coefficient is then that of the flight.
bool FliesWithAnother(const Prediction& prediction) {
  return std::ranges::any_of(prediction.inputs,
                             [](const PredictionInput& input) { return input.key.starts_with("measured_"); });
}

std::string DragWords(const Prediction& prediction) {
  const std::string coefficient = Plain(prediction, "drag_coefficient", 3);
  const std::string known = coefficient.empty() ? "" : fmt::format(" (coefficient {} at the launch)", coefficient);
  switch (prediction.drag_source) {
    case DragSource::kCoefficient:
      return "drag coefficient " + coefficient;
    case DragSource::kPerM:
      return "drag " + Plain(prediction, "drag_per_m", 3) + known;
    case DragSource::kTable:
      return fmt::format("drag by {} against {}",
                         NameOf(prediction.drag_table->file),
                         prediction.drag_table->table.against() == DragAgainst::kTime ? "time" : "the Reynolds number");
    case DragSource::kBall:
      return "a smooth ball" + known;
    case DragSource::kMeasured:
      if (FliesWithAnother(prediction) && !coefficient.empty()) return "drag coefficient as measured, " + coefficient;
      return "drag as measured, " + Plain(prediction, "drag_per_m", 3);
  }
  return "";
}

std::string ValueText(const PredictedQuantity& quantity) {
  return quantity.budget.empty() ? WithUnit(FormatPlain(quantity.estimate->value, 5), quantity.unit)
                                 : FormatEstimate(*quantity.estimate, quantity.unit);
}

std::string QuantityLines(const Prediction& prediction) {
  const std::string heading = "value ± 95 %";
  std::size_t number_width = Width(heading);
  for (const PredictedQuantity& quantity : prediction.quantities) {
    if (quantity.estimate) number_width = std::max(number_width, Width(ValueText(quantity)));
  }
  std::string text =
      fmt::format("\n  {}{}  depends most on\n", PaddedRight("", kLabelWidth), PaddedRight(heading, number_width));
  for (const PredictedQuantity& quantity : prediction.quantities) {
    if (!quantity.estimate) continue;
    std::string source = "nothing uncertain";
    if (!quantity.budget.empty()) {
      source = fmt::format("{}, {:.0f} %", quantity.budget.front().source, 100.0 * quantity.budget.front().share);
    }
    text += fmt::format("  {}{}  {}\n",
                        PaddedRight(quantity.label, kLabelWidth),
                        PaddedRight(ValueText(quantity), number_width),
                        source);
  }
  return text;
}

// As InputText in files, with the typographic minus of everything that is shown.
std::string ShownText(const PredictionInput& input) {
  if (const std::optional<std::string> table = TableAsItStands(input)) return *table;
  const auto& [measured, unit] = InputForPeople(input);
  const std::string number =
      measured.std > 0.0 ? FormatMeasured(measured, unit) : WithUnit(FormatPlain(measured.value, 6), unit);
  return input.label + " " + number;
}

std::string InputLines(const Prediction& prediction, Given given, const char* heading) {
  std::string list;
  for (const PredictionInput& input : prediction.inputs) {
    if (input.given == given) list += (list.empty() ? "" : "; ") + ShownText(input);
  }
  return list.empty() ? "" : fmt::format("\n{}\n", heading) + Wrapped(WithoutControls(list) + ".", 2);
}

std::string Budget(const PredictedQuantity& quantity) {
  std::string text =
      Wrapped(fmt::format("{}, {} (95 %):", quantity.label, FormatEstimate(*quantity.estimate, quantity.unit)), 2);
  double others = 0.0;
  for (const BudgetLine& line : quantity.budget) {
    if (line.share < kLeastShare) {
      others += line.share;
      continue;
    }
    text += fmt::format("    {:3.0f} %  {}± {}\n",
                        100.0 * line.share,
                        PaddedRight(line.source, kLabelWidth),
                        WithUnit(FormatPlain(line.std, 2), quantity.unit));
  }
  if (others >= kLeastShare) text += fmt::format("    {:3.0f} %  all others\n", 100.0 * others);
  return text + "\n";
}

}  // namespace

std::string PredictionTitle(const Prediction& prediction) {
  std::string text = fmt::format("{} at {}, {}",
                                 Plain(prediction, "launch_speed_m_s", 4),
                                 Plain(prediction, "launch_angle_deg", 4),
                                 DragWords(prediction));
  const std::string& from = prediction.from_clip.empty() ? prediction.from_file : prediction.from_clip;
  return from.empty() ? text : text + ", from " + NameOf(from);
}

std::string PredictionText(const Prediction& prediction) {
  std::string text = Wrapped("Predicted flight: " + PredictionTitle(prediction), 0);
  text += QuantityLines(prediction);
  text += "\nAbove, ± is half the 95 % interval; below, it is one standard uncertainty.\n";
  text += InputLines(prediction, Given::kGiven, "Given");
  text += InputLines(prediction, Given::kMeasured, "Measured");
  text += InputLines(prediction, Given::kAssumed, "Assumed, because nothing was said of it");
  if (!prediction.findings.empty()) text += "\n";
  for (const Finding& finding : prediction.findings) text += FindingLines(finding);
  return text + "\n" + SafetyLines() + Wrapped("A prediction does not tell where it is safe to stand.", 0);
}

std::string PredictionBudgetText(const Prediction& prediction) {
  std::string text;
  for (const PredictedQuantity& quantity : prediction.quantities) {
    if (quantity.estimate && !quantity.budget.empty()) text += Budget(quantity);
  }
  if (text.empty()) return text;
  return "\nWhere the uncertainty comes from, as standard uncertainties, largest first:\n\n" + text;
}

}  // namespace loftline
