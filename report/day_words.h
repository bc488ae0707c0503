// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/summary_file.h"

#include <string>
#include <vector>

namespace loftline {

// What the page and the terminal both say of a launch day. Plain UTF-8 text, not escaped for HTML.

struct DayCounts {
  int launches = 0;
  int measured = 0, with_cautions = 0;  // those with cautions are among the measured
  int refused = 0, unreadable = 0, missing = 0, skipped = 0;
};
DayCounts CountDay(const DaySummary& summary);

// "12 launches: 9 measured (1 with cautions), 1 refused, 1 unreadable, 1 skipped."
std::string CountsSentence(const DayCounts& counts);

// "Part 2 of 5 of the day."; empty where it is the whole day.
std::string ShardSentence(const DaySummary& summary);

// "Puffin, launch 2"
std::string LaunchName(const DayRow& row);

// "Refused", "Unreadable", "Not measured yet", "Skipped", "With cautions", "Measured"
std::string OutcomeTitle(const FlightOutcome& outcome);

// Refused ones, then unreadable ones, each in the table's order.
std::vector<const FlightRecord*> FailedFlights(const DaySummary& summary);
std::vector<const FlightRecord*> FlightsWith(const DaySummary& summary, Outcome outcome);

// Of a failed flight: the refusals among its findings; all of them where none is a refusal.
std::vector<Finding> Reasons(const FlightOutcome& outcome);

}  // namespace loftline
