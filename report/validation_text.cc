// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_text.h"

#include "core/wrap_text.h"
#include "report/answers.h"
#include "report/bias_text.h"
#include "report/format_number.h"
#include "report/terminal_text.h"
#include "report/validation_words.h"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

namespace loftline {
namespace {

using Rows = std::vector<std::vector<std::string>>;

std::string Paragraph(const std::string& text, std::size_t indent = 0) {
  return Wrapped(WithoutControls(text), indent);
}

// Nobody sees a rocket to less than a millimetre.
int DecimalsOfPlace(double std_m) {
  return std::min(DecimalsFor(std_m), 3);
}

std::string ProbabilityText(double p) {
  return p < 0.001 ? "p below 0.001" : "p = " + FormatPlain(p, 2);
}

// What each column of the table was taken for: "time = "t" in s".
std::string ColumnsText(const FlightValidation& flight) {
  std::string text;
  for (const ReadColumn& column : flight.columns) {
    text += fmt::format("{}{} = \"{}\" in {}{}",
                        text.empty() ? "" : ", ",
                        column.role,
                        column.column,
                        column.unit,
                        column.unit_assumed ? " (assumed)" : "");
  }
  text = "Columns understood: " + text + ".";
  const std::string others = PassedOverWords(flight);
  return others.empty() ? text : text + " Passed over: " + others + ".";
}

// IS_SHORT: three digits of each number, where all that the uncertainty asks for would push the verdict off the line.
std::vector<std::string> QuantityCells(const ValidatedQuantity& quantity, bool is_short) {
  const double half = 0.5 * (quantity.high_95 - quantity.low_95);
  const int decimals = DecimalsFor(half);
  const auto number = [&](double value) { return is_short ? FormatPlain(value, 3) : FormatNumber(value, decimals); };
  const std::string unit = ShownUnit(quantity.unit);
  const bool unsure = quantity.agreement == Agreement::kTooUncertain;
  return {quantity.label + (unit.empty() ? "" : ", " + unit),
          number(quantity.simulated.value),
          number(quantity.measured.value),
          PlusSign(quantity) + number(quantity.error),
          "± " + (is_short ? FormatPlain(half, 2) : FormatNumber(half, decimals)),
          is_short && unsure ? "unsure" : ShortAgreementWords(quantity.agreement)};
}

Rows QuantityRows(const FlightValidation& flight, bool is_short) {
  Rows rows{{"", "simulator", "footage", "error", "95 %", "verdict"}};
  for (const ValidatedQuantity& quantity : flight.quantities) rows.push_back(QuantityCells(quantity, is_short));
  return rows;
}

std::string QuantityTable(const FlightValidation& flight) {
  if (flight.quantities.empty()) return "";
  const Rows rows = QuantityRows(flight, false);
  return TextTable(FitsTerminal(rows) ? rows : QuantityRows(flight, true)) + "\n";
}

// The moment seen at which the two are farthest apart.
const PathMoment* FarthestApart(const PathComparison& path) {
  const PathMoment* farthest = nullptr;
  const auto apart = [&](const PathMoment& moment) {
    return path.heights_only ? std::abs(moment.error_m.y()) : moment.error_m.norm();
  };
  for (const PathMoment& moment : path.moments) {
    if (moment.seen && (farthest == nullptr || apart(moment) > apart(*farthest))) farthest = &moment;
  }
  return farthest;
}

std::string PathText(const FlightValidation& flight) {
  const PathComparison& path = flight.path;
  std::string text = fmt::format("The path seen, {} to {} s: {}.",
                                 FormatNumber(path.first_s, 2),
                                 FormatNumber(path.last_s, 2),
                                 AgreementWords(path.agreement));
  if (const PathMoment* moment = FarthestApart(path)) {
    constexpr double kNothingM = 0.0005;
    const Eigen::Vector2d error_m = path.heights_only ? Eigen::Vector2d(0.0, moment->error_m.y()) : moment->error_m;
    if (error_m.norm() < kNothingM) return text + " Nowhere apart by as much as a millimetre.";
    text += fmt::format(" Farthest apart after {} s:", FormatNumber(moment->time_s, 2));
    if (!path.heights_only) {
      text += fmt::format(" {} m {},",
                          FormatNumber(std::abs(moment->error_m.x()), DecimalsOfPlace(moment->error_std_m.x())),
                          moment->error_m.x() > 0.0 ? "too far" : "too near");
    }
    text += fmt::format(" {} m {}.",
                        FormatNumber(std::abs(moment->error_m.y()), DecimalsOfPlace(moment->error_std_m.y())),
                        moment->error_m.y() > 0.0 ? "too high" : "too low");
  }
  return text;
}

std::string MendLines(const FlightValidation& flight) {
  if (flight.mends.empty() || flight.agreement == Agreement::kAgrees) return "";
  std::string lines = "What would mend it:\n";
  for (const Mend& mend : flight.mends) lines += Paragraph(MendSentence(mend), 2);
  return lines + "\n";
}

std::string DragText(const DragSideBySide& drag) {
  if (!(drag.simulated_per_m > 0.0)) return "";
  std::string text = fmt::format("Drag: the simulator's path is that of {} 1/m, the footage shows {}",
                                 FormatPlain(drag.simulated_per_m, 3),
                                 FormatEstimate(drag.measured_per_m, "1/m"));
  if (drag.simulated_coefficient && drag.measured_coefficient) {
    text += fmt::format("; as a coefficient {} and {}",
                        FormatPlain(*drag.simulated_coefficient, 3),
                        FormatEstimate(*drag.measured_coefficient, ""));
  }
  return text + ".";
}

std::string ErrorAlongPath(const PathComparison& path) {
  constexpr std::size_t kLines = 12;
  Rows rows{{"time, s", "too far, m", "95 %", "too high, m", "95 %", ""}};
  const double coverage = Coverage95(path);
  const std::size_t step = std::max<std::size_t>(1, path.moments.size() / kLines);
  for (std::size_t i = 0; i < path.moments.size(); i += step) {
    const PathMoment& moment = path.moments[i];
    std::vector<std::string> cells{FormatNumber(moment.time_s, 2)};
    for (int axis = 0; axis < 2; ++axis) {
      const double half = coverage * moment.error_std_m[axis];
      const bool none = axis == 0 && path.heights_only;
      cells.push_back(none ? "-" : FormatNumber(moment.error_m[axis], DecimalsOfPlace(half)));
      cells.push_back(none ? "" : "± " + FormatNumber(half, DecimalsOfPlace(half)));
    }
    cells.emplace_back(moment.seen ? "seen" : "not seen");
    rows.push_back(std::move(cells));
  }
  return "The error along the path:\n" + TextTable(rows) + "\n";
}

std::string Explanation(const FlightValidation& flight) {
  const PathComparison& path = flight.path;
  std::string text = Paragraph(
      "The error is the simulator's value less the footage's. It disagrees where it lies outside its own 95 % "
      "interval, "
      "which holds the uncertainty of both sides. It agrees where it lies within and the interval is narrower than an "
      "error that matters; where the interval is wider, it is too uncertain to say.");
  text += "\n" + Paragraph(fmt::format(
                     "The whole path: chi-square {} with {} independent {} in which the footage tells paths apart, {}. "
                     "Known to ± {} m at worst, where {} m matter.",
                     FormatPlain(path.chi2, 3),
                     path.dof,
                     path.dof == 1 ? "way" : "ways",
                     ProbabilityText(path.p),
                     FormatPlain(path.half_95_m, 2),
                     FormatPlain(path.matters_m, 2)));
  if (const std::string drag = DragText(flight.drag); !drag.empty()) text += "\n" + Paragraph(drag);
  return text + "\n" + ErrorAlongPath(path);
}

std::string OneFlight(const FlightValidation& flight, bool explain) {
  std::string text = Paragraph(flight.sentence) + "\n";
  text += Paragraph(ColumnsText(flight)) + Paragraph(AlignmentSentence(flight)) + "\n";
  text += QuantityTable(flight) + Paragraph(PathText(flight)) + "\n" + MendLines(flight);
  for (const Finding& finding : FindingsByWeight(flight.findings)) text += FindingLines(finding);
  if (!flight.findings.empty()) text += "\n";
  return explain ? text + Explanation(flight) : text;
}

std::string LeftOutLines(const std::vector<UnvalidatedFlight>& flights) {
  constexpr std::size_t kMost = 20;
  if (flights.empty()) return "";
  std::string lines = "Not compared:\n";
  for (std::size_t i = 0; i < std::min(flights.size(), kMost); ++i) {
    const UnvalidatedFlight& flight = flights[i];
    const Error& error = flight.error;
    const bool elsewhere = !error.file.empty() && error.file != flight.result_file;
    lines += Paragraph(fmt::format("{}{}{}: {} {}",
                                   elsewhere ? error.file : flight.result_file,
                                   PlaceInFile(error),
                                   elsewhere ? " (for " + flight.result_file + ")" : "",
                                   error.message,
                                   error.advice),
                       2);
  }
  if (flights.size() > kMost) lines += fmt::format("  ... and {} more\n", flights.size() - kMost);
  return lines + "\n";
}

// Tables and alignments as far as they differ: of a thousand flights, one line where all are alike.
std::string Understood(const std::vector<ValidatedFlight>& flights) {
  constexpr std::size_t kMost = 3;
  std::set<std::string> columns, rules;
  double least_s = INFINITY, most_s = -INFINITY;
  for (const ValidatedFlight& flight : flights) {
    columns.insert(ColumnsText(flight.validation));
    const Alignment& alignment = flight.validation.alignment;
    rules.insert(std::string(AlignName(alignment.by)));
    least_s = std::min(least_s, alignment.time_shift_s);
    most_s = std::max(most_s, alignment.time_shift_s);
  }
  std::string text;
  for (const std::string& each : columns) {
    if (std::distance(columns.begin(), columns.find(each)) < static_cast<std::ptrdiff_t>(kMost))
      text += Paragraph(each);
  }
  if (columns.size() > kMost)
    text += fmt::format("... and {} more ways, see validation.json\n", columns.size() - kMost);
  std::string by;
  for (const std::string& rule : rules) by += (by.empty() ? "" : ", ") + rule;
  std::string moves = "its clock was left as it is";
  if (least_s != 0.0 || most_s != 0.0) moves = "its clock was moved by " + FormatNumber(least_s, 3);
  if (least_s != most_s) moves += " to " + FormatNumber(most_s, 3);
  if (least_s != 0.0 || most_s != 0.0) moves += " s";
  return text + Paragraph(fmt::format("Aligned by {}; {}.", by, moves));
}

}  // namespace

std::string ValidationText(const ValidationDocument& document, bool explain) {
  std::string text;
  if (document.flights.size() == 1) {
    text = Paragraph(ValidationTitle(document.flights)) + OneFlight(document.flights.front().validation, explain);
    for (const Finding& finding : document.bias.findings) text += FindingLines(finding);
    if (!document.bias.findings.empty()) text += "\n";
  } else {
    text = Paragraph(ValidationTitle(document.flights)) + Paragraph(document.bias.headline) + "\n" +
           Understood(document.flights) + "\n" + FlightLines(document.flights) + BiasLines(document.bias, explain) +
           PatternLines(document.flights);
  }
  return text + LeftOutLines(document.left_out) + SafetyLines();
}

}  // namespace loftline
