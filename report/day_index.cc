// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/day_index.h"

#include "report/answers.h"
#include "report/day_words.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/page_assets.h"
#include "report/page_sections.h"
#include "report/page_shell.h"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kMostNamed = 60;  // of the launches that are merely listed

struct Column {
  const char* style;  // class
  const char* label;
  const char* unit;
  std::optional<Estimate> FlightQuantities::*quantity;
};
constexpr std::array<Column, 5> kColumns{{
    {"speed", "Launch speed", "m/s", &FlightQuantities::launch_speed_m_s},
    {"angle", "Launch angle", "°", &FlightQuantities::launch_angle_deg},
    {"apogee", "Apogee", "m", &FlightQuantities::apogee_m},
    {"way", "Range", "m", &FlightQuantities::range_m},
    {"drag", "Drag coefficient", "", &FlightQuantities::drag_coefficient},
}};

std::string PathOf(const FlightRecord& record, const std::string& file) {
  return EncodePath(record.folder + "/" + file);
}

// A link where there is a report. Unreadable clips have none.
std::string LinkedName(const FlightRecord& record) {
  std::string name = EscapeHtml(LaunchName(record.row));
  const bool has_report = record.outcome.outcome == Outcome::kMeasured || record.outcome.outcome == Outcome::kRefused;
  if (record.folder.empty() || !has_report) return name;
  return fmt::format(R"(<a href="{}">{}</a>)", PathOf(record, record.stem + ".report.html"), name);
}

std::string FailureItem(const FlightRecord& record) {
  std::string reasons;
  for (const Finding& finding : Reasons(record.outcome)) {
    reasons += fmt::format("<p>{}</p>", EscapeHtml(finding.message));
    if (!finding.advice.empty()) reasons += fmt::format(R"(<p class="advice">{}</p>)", EscapeHtml(finding.advice));
  }
  return fmt::format(
      R"(<li class="refusal"><p><strong>{}.</strong> {} <span class="clip">{}, line {} of the table</span></p>{}</li>)",
      OutcomeTitle(record.outcome),
      LinkedName(record),
      EscapeHtml(record.row.clip),
      record.row.line,
      reasons);
}

// "Heron, launch 1; Heron, launch 4; and 3 more", with a note each may have.
std::string Named(const std::vector<const FlightRecord*>& flights) {
  std::string names;
  for (std::size_t i = 0; i < std::min(flights.size(), kMostNamed); ++i) {
    const DayRow& row = flights[i]->row;
    names += (i == 0 ? "" : "; ") + EscapeHtml(LaunchName(row));
    if (!row.note.empty()) names += " (" + EscapeHtml(row.note) + ")";
  }
  if (flights.size() > kMostNamed) names += fmt::format("; and {} more", flights.size() - kMostNamed);
  return names + ".";
}

std::string MissingItem(const std::vector<const FlightRecord*>& missing) {
  if (missing.empty()) return "";
  return fmt::format(
      R"(<li class="caution"><p><strong>Not measured yet.</strong> The run was broken off before {}. Start it again: )"
      R"(it does only what is left.</p><p class="advice">{}</p></li>)",
      missing.size() == 1 ? "this launch" : fmt::format("these {} launches", missing.size()),
      Named(missing));
}

std::string FailuresSection(const DaySummary& summary) {
  std::string items;
  for (const FlightRecord* record : FailedFlights(summary)) items += FailureItem(*record) + "\n";
  items += MissingItem(FlightsWith(summary, Outcome::kMissing));
  if (items.empty()) return "";
  return fmt::format(
      R"(<section class="findings" aria-labelledby="h-failures"><h2 id="h-failures">Without numbers</h2><ul>{}</ul></section>)",
      items);
}

std::string HeadCell(std::string_view style, std::string_view label, std::string_view unit = "") {
  return fmt::format(R"(<th scope="col" class="{}"><span>{}</span>{}</th>)",
                     style,
                     EscapeHtml(label),
                     unit.empty() ? "" : fmt::format(R"(<span class="in">{}</span>)", unit));
}

std::string HeadRow(const DaySummary& summary) {
  std::string row =
      "<tr>" + HeadCell("line", "Line") + R"(<td class="picture">Picture</td>)" + HeadCell("name", "Launch");
  for (const std::string& variable : summary.variables) row += HeadCell("variable", variable);
  row += HeadCell("outcome", "Verdict");
  for (const Column& column : kColumns) row += HeadCell(column.style, column.label, column.unit);
  return row + R"(<td class="told">Findings</td></tr>)";
}

std::string QuantityCell(const Column& column, const FlightQuantities& flight) {
  const std::optional<Estimate>& estimate = flight.*column.quantity;
  if (!estimate) return fmt::format(R"(<td class="{}">–</td>)", column.style);
  const EstimateText text = FormatPieces(*estimate);
  return fmt::format(R"(<td class="{}" data-v="{:.6g}"><b>{}</b> <small>{}</small></td>)",
                     column.style,
                     estimate->value,
                     text.value,
                     text.plus_minus);
}

// Cautions in words; notes stand in the report. The table's own note comes last.
std::string ToldCell(const FlightRecord& record) {
  std::string told;
  for (const Finding& finding : record.outcome.findings) {
    if (finding.severity != Severity::kNote) told += fmt::format("<p>{}</p>", EscapeHtml(finding.message));
  }
  if (!record.row.note.empty()) told += fmt::format(R"(<p class="note">{}</p>)", EscapeHtml(record.row.note));
  return fmt::format(R"(<td class="told">{}</td>)", told);
}

std::string VariableCells(const DaySummary& summary, const DayRow& row) {
  std::string cells;
  for (std::size_t i = 0; i < summary.variables.size(); ++i) {
    cells += fmt::format(R"(<td class="variable" data-l="{}">{}</td>)",
                         EscapeHtml(summary.variables[i]),
                         i < row.variables.size() ? EscapeHtml(row.variables[i]) : "");
  }
  return cells;
}

std::string FlightRow(const DaySummary& summary, const FlightRecord& record) {
  const std::string name = EscapeHtml(LaunchName(record.row));
  const std::string picture =
      record.folder.empty() ? ""
                            : fmt::format(R"(<img src="{}" width="132" height="74" loading="lazy" alt="Flight of {}">)",
                                          PathOf(record, "thumb.jpg"),
                                          name);
  std::string row = fmt::format(
      R"(<tr><td class="line">{}</td><td class="picture">{}</td><th scope="row" class="name">{}<span class="clip">{}</span></th>)",
      record.row.line,
      picture,
      LinkedName(record),
      EscapeHtml(record.row.clip));
  row += VariableCells(summary, record.row);
  row += fmt::format(
      R"(<td class="outcome {}">{}</td>)", VerdictName(record.outcome.verdict), OutcomeTitle(record.outcome));
  for (const Column& column : kColumns) row += QuantityCell(column, record.outcome.flight);
  return row + ToldCell(record) + "</tr>\n";
}

std::string FlightsSection(const DaySummary& summary) {
  const std::vector<const FlightRecord*> measured = FlightsWith(summary, Outcome::kMeasured);
  if (measured.empty()) return "";
  std::string rows;
  for (const FlightRecord* record : measured) rows += FlightRow(summary, *record);
  return fmt::format(
      R"(<section aria-labelledby="h-flights"><h2 id="h-flights">Flights</h2><p class="hint">± is the 95 % uncertainty. )"
      R"(<span class="scripted">Press a column’s name to sort by it, again to turn the order round.</span></p>)"
      R"(<div class="wide"><table class="flights"><thead>{}</thead><tbody>)"
      "\n{}</tbody></table></div></section>",
      HeadRow(summary),
      rows);
}

std::string SkippedSection(const DaySummary& summary) {
  const std::vector<const FlightRecord*> skipped = FlightsWith(summary, Outcome::kSkipped);
  if (skipped.empty()) return "";
  return fmt::format(
      R"(<section aria-labelledby="h-skipped"><h2 id="h-skipped">Skipped, as the table says</h2><p>{}</p></section>)",
      Named(skipped));
}

std::string DayHeader(const DaySummary& summary) {
  const DayCounts counts = CountDay(summary);
  const bool whole = counts.refused + counts.unreadable + counts.missing == 0;
  const std::string shard = ShardSentence(summary);
  return fmt::format(R"(<header>{}<h1>{}</h1><p class="verdict {}"><strong>{}</strong>{}</p></header>)",
                     PageMaker("launch day"),
                     EscapeHtml(summary.table),
                     whole ? "accepted" : "caution",
                     CountsSentence(counts),
                     shard.empty() ? "" : " " + shard);
}

}  // namespace

std::string DayIndexHtml(const DaySummary& summary) {
  std::string page = PageHead(summary.table + " – Loftline launch day", {page_assets::kDayCss}, PagePictures::kBeside);
  page += "<body>\n<main>\n" + DayHeader(summary) + "\n" + FailuresSection(summary) + "\n";
  page += FlightsSection(summary) + "\n" + SkippedSection(summary) + "\n" + SafetySection() + "\n";
  page += fmt::format(
      R"(<footer><p>Made on this computer; nothing left it. The pictures show the flight region, with whoever stands in )"
      R"(it. The same numbers for a spreadsheet: <a href="summary.csv">summary.csv</a>. Loftline {}.</p>)"
      R"(<p>Table SHA-256: <span class="hash">{}</span></p></footer>)"
      "\n</main>\n",
      EscapeHtml(summary.program_version.empty() ? LOFTLINE_VERSION : summary.program_version),
      EscapeHtml(summary.table_sha256));
  page += "<script>";
  page += page_assets::kDayJs;
  return page + "</script>\n</body>\n</html>\n";
}

}  // namespace loftline
