// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/day_words.h"

#include <algorithm>
#include <iterator>

#include <fmt/format.h>

namespace loftline {

DayCounts CountDay(const DaySummary& summary) {
  DayCounts counts;
  for (const FlightRecord& record : summary.flights) {
    ++counts.launches;
    switch (record.outcome.outcome) {
      case Outcome::kMeasured:
        ++counts.measured;
        counts.with_cautions += record.outcome.verdict == Verdict::kCaution ? 1 : 0;
        break;
      case Outcome::kRefused:
        ++counts.refused;
        break;
      case Outcome::kUnreadable:
        ++counts.unreadable;
        break;
      case Outcome::kSkipped:
        ++counts.skipped;
        break;
      case Outcome::kMissing:
        ++counts.missing;
        break;
    }
  }
  return counts;
}

std::string CountsSentence(const DayCounts& counts) {
  std::string sentence =
      fmt::format("{} launch{}: {} measured", counts.launches, counts.launches == 1 ? "" : "es", counts.measured);
  if (counts.with_cautions > 0) sentence += fmt::format(" ({} with cautions)", counts.with_cautions);
  if (counts.refused > 0) sentence += fmt::format(", {} refused", counts.refused);
  if (counts.unreadable > 0) sentence += fmt::format(", {} unreadable", counts.unreadable);
  if (counts.missing > 0) sentence += fmt::format(", {} not measured yet", counts.missing);
  if (counts.skipped > 0) sentence += fmt::format(", {} skipped", counts.skipped);
  return sentence + ".";
}

std::string ShardSentence(const DaySummary& summary) {
  if (summary.shards <= 1) return "";
  return fmt::format("This is part {} of {} of the day only.", summary.shard, summary.shards);
}

std::string LaunchName(const DayRow& row) {
  return fmt::format("{}, launch {}", row.design, row.launch);
}

std::string OutcomeTitle(const FlightOutcome& outcome) {
  switch (outcome.outcome) {
    case Outcome::kMeasured:
      return outcome.verdict == Verdict::kCaution ? "With cautions" : "Measured";
    case Outcome::kRefused:
      return "Refused";
    case Outcome::kUnreadable:
      return "Unreadable";
    case Outcome::kSkipped:
      return "Skipped";
    case Outcome::kMissing:
      return "Not measured yet";
  }
  return "Not measured yet";
}

std::vector<const FlightRecord*> FlightsWith(const DaySummary& summary, Outcome outcome) {
  std::vector<const FlightRecord*> flights;
  for (const FlightRecord& record : summary.flights) {
    if (record.outcome.outcome == outcome) flights.push_back(&record);
  }
  return flights;
}

std::vector<const FlightRecord*> FailedFlights(const DaySummary& summary) {
  std::vector<const FlightRecord*> failed = FlightsWith(summary, Outcome::kRefused);
  const std::vector<const FlightRecord*> unreadable = FlightsWith(summary, Outcome::kUnreadable);
  failed.insert(failed.end(), unreadable.begin(), unreadable.end());
  return failed;
}

std::vector<Finding> Reasons(const FlightOutcome& outcome) {
  std::vector<Finding> reasons;
  std::copy_if(
      outcome.findings.begin(), outcome.findings.end(), std::back_inserter(reasons), [](const Finding& finding) {
        return finding.severity == Severity::kRefusal;
      });
  return reasons.empty() ? outcome.findings : reasons;
}

}  // namespace loftline
