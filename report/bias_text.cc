// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/bias_text.h"

#include "core/wrap_text.h"
#include "report/format_number.h"
#include "report/terminal_text.h"
#include "report/validation_words.h"

#include <algorithm>
#include <array>
#include <functional>

#include <fmt/format.h>

namespace loftline {
namespace {

using Rows = std::vector<std::vector<std::string>>;

constexpr std::size_t kMostFlightLines = 60;

// In order of importance: those that do not fit beside each other give way from the end.
struct Column {
  const char *key, *title;
};
constexpr std::array<Column, 3> kColumns{
    {{"apogee_m", "apogee, m"}, {"range_m", "range, m"}, {"launch_speed_m_s", "speed, m/s"}}};

std::string Signed(const Estimate& estimate) {
  const EstimateText text = FormatPieces(estimate);
  return (estimate.value > 0.0 ? "+" : "") + text.value + " " + text.plus_minus;
}

std::string CellOf(const FlightValidation& flight, const char* key) {
  const auto found = std::ranges::find(flight.quantities, key, &ValidatedQuantity::key);
  if (found == flight.quantities.end()) return "-";
  return Signed({found->error, found->error_std, found->low_95, found->high_95});
}

Estimate InPercent(const Estimate& share) {
  return {100.0 * share.value, 100.0 * share.std, 100.0 * share.low_95, 100.0 * share.high_95};
}

// Where no clip is named the result's file name, without the ending that they all have.
std::string NameOfFlight(const FlightValidation& flight) {
  constexpr std::string_view kEnding = ".result.json";
  std::string name = FlightTitle(flight);
  if (name.size() > kEnding.size() && name.ends_with(kEnding)) name.resize(name.size() - kEnding.size());
  return WithoutControls(name);
}

// Three digits of each, and two of the half interval: where all that the uncertainty asks for has no room.
std::string ShortSigned(const Estimate& estimate) {
  return (estimate.value > 0.0 ? "+" : "") + FormatPlain(estimate.value, 3) + " ± " +
         FormatPlain(0.5 * (estimate.high_95 - estimate.low_95), 2);
}

// The shortest: the value alone, in three digits.
std::string ValueAlone(const Estimate& estimate) {
  return (estimate.value > 0.0 ? "+" : "") + FormatPlain(estimate.value, 3);
}

using NumberText = std::string (*)(const Estimate&);

const char* BiasedWord(const QuantityBias& bias) {
  if (bias.alone_biased) return "by itself";
  return bias.biased ? "yes" : "no";
}

Rows MeanRows(const std::vector<QuantityBias>& quantities, NumberText number, NumberText percent) {
  Rows rows{{"mean error ± 95 %", "", "in %", "agree", "not", "unsure", "biased"}};
  for (const QuantityBias& bias : quantities) {
    rows.push_back({bias.label + ", " + ShownUnit(bias.unit),
                    bias.error ? number(*bias.error) : "-",
                    bias.relative ? percent(InPercent(*bias.relative)) : "-",
                    std::to_string(bias.agree),
                    std::to_string(bias.disagree),
                    std::to_string(bias.too_uncertain),
                    BiasedWord(bias)});
  }
  return rows;
}

std::string MeanTable(const std::vector<QuantityBias>& quantities) {
  Rows rows = MeanRows(quantities, Signed, Signed);
  if (!FitsTerminal(rows)) rows = MeanRows(quantities, ShortSigned, ShortSigned);
  if (!FitsTerminal(rows)) rows = MeanRows(quantities, ShortSigned, ValueAlone);
  return TextTable(rows) + "\n";
}

// Findings of one kind, of several flights.
struct Pattern {
  Finding first;
  std::string flight;
  std::size_t count = 0;
  bool same_message = true, same_advice = true;
  std::vector<const Mend*> mends;  // what their advice is about, one a flight
};

// The key of the mend that a finding of this kind gives as its advice; empty: none.
std::string MendOf(const std::string& code) {
  if (code == "too-little-drag" || code == "too-much-drag") return "drag";
  if (code == "launch-too-slow" || code == "launch-too-fast") return "launch_speed";
  if (code == "launch-too-flat" || code == "launch-too-steep") return "launch_angle";
  return code == "wind-differs" ? "wind" : "";
}

void Add(const Finding& finding, const FlightValidation& flight, std::vector<Pattern>& patterns) {
  auto known = std::ranges::find_if(patterns, [&](const Pattern& each) { return each.first.code == finding.code; });
  if (known == patterns.end()) known = patterns.insert(known, {.first = finding, .flight = NameOfFlight(flight)});
  ++known->count;
  known->same_message = known->same_message && known->first.message == finding.message;
  known->same_advice = known->same_advice && known->first.advice == finding.advice;
  const auto mend = std::ranges::find(flight.mends, MendOf(finding.code), &Mend::key);
  if (mend != flight.mends.end()) known->mends.push_back(&*mend);
}

// What holds for all flights of PATTERN: one flight's numbers are no advice for the others.
Finding Shared(const Pattern& pattern) {
  Finding shown = pattern.first;
  const std::string others = pattern.count > 1 ? fmt::format(" and {} more", pattern.count - 1) : "";
  shown.message = fmt::format("{}{}{}: {}",
                              pattern.flight,
                              others,
                              pattern.same_message ? "" : " (the number is the first one's)",
                              shown.message);
  if (pattern.same_advice) return shown;
  shown.advice = pattern.mends.size() == pattern.count
                     ? fmt::format("From flight to flight, what would mend it: {}.", MendRange(pattern.mends))
                     : "What to do differs from flight to flight: see each by itself.";
  return shown;
}

std::string PText(double p) {
  return p < 0.001 ? "< 0.001" : FormatNumber(p, 3);
}

std::string SpreadTable(const std::vector<QuantityBias>& quantities) {
  Rows rows{{"one flight's error", "between flights", "own", "p scatter", "p bias", "by Holm"}};
  for (const QuantityBias& bias : quantities) {
    if (!bias.error) continue;
    const double scale = bias.by_share ? 100.0 : 1.0;
    rows.push_back({bias.label + ", " + (bias.by_share ? "%" : ShownUnit(bias.unit)),
                    FormatPlain(scale * bias.between, 2),
                    FormatPlain(scale * bias.own_std, 2),
                    PText(bias.scatter_p),
                    PText(bias.p),
                    PText(bias.p_adjusted)});
  }
  if (rows.size() == 1) return "";
  return TextTable(rows) +
         Wrapped(
             "(Standard deviations. Between flights: what differs from one to the next beyond each flight's own "
             "uncertainty. Whether that uncertainty alone explains the scatter: p scatter. Whether chance explains "
             "the mean: p bias, by Holm for all quantities together.)",
             0) +
         "\n";
}

}  // namespace

std::string FlightLines(const std::vector<ValidatedFlight>& flights) {
  std::vector<std::string> titles{"error ± 95 % of", "path"};
  for (const Column& column : kColumns) titles.emplace_back(column.title);
  Rows rows{titles};
  const std::size_t shown = std::min(flights.size(), kMostFlightLines);
  for (std::size_t i = 0; i < shown; ++i) {
    const FlightValidation& flight = flights[i].validation;
    std::vector<std::string> cells{
        NameOfFlight(flight),
        flight.agreement == Agreement::kTooUncertain ? "unsure" : std::string(AgreementName(flight.agreement))};
    for (const Column& column : kColumns) cells.push_back(CellOf(flight, column.key));
    rows.push_back(std::move(cells));
  }
  std::string lines = TextTable(rows);
  if (flights.size() > shown) lines += fmt::format("... and {} more, see validation.json\n", flights.size() - shown);
  return lines + "\n";
}

std::string PatternLines(const std::vector<ValidatedFlight>& flights) {
  std::vector<Pattern> patterns;
  for (const ValidatedFlight& flight : flights) {
    for (const Finding& finding : flight.validation.findings) Add(finding, flight.validation, patterns);
  }
  std::ranges::stable_sort(patterns, std::greater(), &Pattern::count);
  std::string lines;
  for (const Pattern& pattern : patterns) lines += FindingLines(Shared(pattern));
  return lines.empty() ? "" : lines + "\n";
}

std::string BiasLines(const SimulatorBias& bias, bool explain) {
  std::string lines = MeanTable(bias.quantities);
  if (explain) lines += SpreadTable(bias.quantities);
  for (const QuantityBias& quantity : bias.quantities) {
    if (quantity.biased || quantity.alone_biased) lines += Wrapped(quantity.sentence, 0);
  }
  if (bias.drag_factor) lines += Wrapped(bias.drag_factor->sentence, 0);
  lines += "\n";
  for (const Finding& finding : bias.findings) lines += FindingLines(finding);
  return bias.findings.empty() ? lines : lines + "\n";
}

}  // namespace loftline
