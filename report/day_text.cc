// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/day_text.h"

#include "core/wrap_text.h"
#include "report/day_words.h"
#include "report/format_number.h"
#include "report/terminal_text.h"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kMostFlightLines = 60;
constexpr std::size_t kMostFailures = 20;  // with their reasons

struct Column {
  const char* title;
  std::optional<Estimate> FlightQuantities::*quantity;
};
// The last ones give way where a line would be too long.
constexpr std::array<Column, 4> kColumns{{{"range, m", &FlightQuantities::range_m},
                                          {"apogee, m", &FlightQuantities::apogee_m},
                                          {"speed, m/s", &FlightQuantities::launch_speed_m_s},
                                          {"drag coeff.", &FlightQuantities::drag_coefficient}}};

using Cells = std::vector<std::string>;

Cells CellsOf(const FlightRecord& record) {
  const bool doubted = record.outcome.verdict == Verdict::kCaution;
  Cells cells{WithoutControls(record.row.design + " " + record.row.launch), doubted ? "caution" : ""};
  for (const Column& column : kColumns) {
    const std::optional<Estimate>& estimate = record.outcome.flight.*column.quantity;
    cells.push_back(estimate ? FormatEstimate(*estimate, "") : "-");
  }
  return cells;
}

std::string FlightLines(const DaySummary& summary) {
  const std::vector<const FlightRecord*> measured = FlightsWith(summary, Outcome::kMeasured);
  if (measured.empty()) return "";
  Cells titles{"launch", ""};
  for (const Column& column : kColumns) titles.emplace_back(column.title);
  std::vector<Cells> rows{titles};
  const std::size_t shown = std::min(measured.size(), kMostFlightLines);
  for (std::size_t i = 0; i < shown; ++i) rows.push_back(CellsOf(*measured[i]));
  std::string lines = TextTable(rows);
  if (measured.size() > shown) lines += fmt::format("... and {} more, see index.html\n", measured.size() - shown);
  return "\n" + lines + "(\u00b1: 95 % uncertainty)\n";
}

std::string FailureLines(const FlightRecord& record) {
  std::string lines = Wrapped(fmt::format("{}: {} ({}, line {} of the table)",
                                          OutcomeTitle(record.outcome),
                                          WithoutControls(LaunchName(record.row)),
                                          WithoutControls(record.row.clip),
                                          record.row.line),
                              0);
  for (const Finding& finding : Reasons(record.outcome)) {
    lines += Wrapped(WithoutControls(finding.message + " " + finding.advice), 4);
  }
  return lines;
}

}  // namespace

std::string DayText(const DaySummary& summary) {
  const DayCounts counts = CountDay(summary);
  std::string text = Wrapped(
      fmt::format("{}: {} {}", WithoutControls(summary.table), CountsSentence(counts), ShardSentence(summary)), 0);
  const std::vector<const FlightRecord*> failed = FailedFlights(summary);
  if (!failed.empty()) text += "\n";
  for (std::size_t i = 0; i < std::min(failed.size(), kMostFailures); ++i) text += FailureLines(*failed[i]);
  if (failed.size() > kMostFailures) {
    text += fmt::format("... and {} more without numbers, see index.html\n", failed.size() - kMostFailures);
  }
  if (counts.missing > 0) {
    text += "\n" + Wrapped(fmt::format("{} launch{} not measured yet: run the same command again, it does only what is "
                                       "left.",
                                       counts.missing,
                                       counts.missing == 1 ? " is" : "es are"),
                           0);
  }
  return text + FlightLines(summary);
}

}  // namespace loftline
