// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/comparison_sections.h"
#include "report/comparison_words.h"
#include "report/format_number.h"
#include "report/html_text.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

std::string HeadRow(const Comparison& comparison) {
  std::string row = R"(<tr><th scope="col">Launch</th>)";
  for (const ComparedQuantity& quantity : comparison.quantities) {
    if (quantity.values.empty()) continue;
    row += fmt::format(R"(<th scope="col">{}{}</th>)",
                       EscapeHtml(quantity.label),
                       quantity.unit.empty() ? "" : ", " + EscapeHtml(quantity.unit));
  }
  return row + "</tr>";
}

std::string FlightRow(const Comparison& comparison, std::size_t flight) {
  std::string row =
      fmt::format(R"(<tr><th scope="row">{}</th>)", EscapeHtml(FlightName(comparison, comparison.flights[flight])));
  for (const ComparedQuantity& quantity : comparison.quantities) {
    if (quantity.values.empty()) continue;
    const auto value = std::find_if(quantity.values.begin(), quantity.values.end(), [flight](const ComparedValue& one) {
      return one.flight == flight;
    });
    row += "<td>" + (value == quantity.values.end() ? "–" : FormatMeasured(value->value, "")) + "</td>";
  }
  return row + "</tr>";
}

}  // namespace

std::string AllFlightsSection(const Comparison& comparison) {
  std::string rows;
  for (std::size_t i = 0; i < comparison.flights.size(); ++i) {
    if (comparison.flights[i].used) rows += FlightRow(comparison, i);
  }
  if (rows.empty()) return "";
  return fmt::format(
      R"(<section class="all-flights"><details><summary>All flights as a table</summary><p class="hint">In order of )"
      R"(launch; ± is one standard uncertainty of the flight.</p><div class="wide"><table><thead>{}</thead><tbody>{}</tbody></table></div></details></section>)",
      HeadRow(comparison),
      rows);
}

}  // namespace loftline
