// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/flight_record.h"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// A launch day, measured: what summary.json holds (docs/formats.md, "Summary"; docs/schemas/summary.schema.json).
struct DaySummary {
  std::filesystem::path folder;  // where it was read from or is to be written; not in the file
  std::string table;             // the table's file name
  std::string table_sha256;
  int table_rows = 0;  // of the whole table, whatever the shard
  std::string program_version;
  int shard = 1, shards = 1;           // which of how many; 1 of 1 is the whole day
  std::vector<std::string> variables;  // names of the design variables
  std::vector<FlightRecord> flights;   // in the table's order; of a shard only its own
};

int CountOf(const DaySummary& summary, Outcome outcome);
// Why a flight was not measured, in words; empty where it was.
std::string WhyNot(const FlightOutcome& outcome);

nlohmann::ordered_json SummaryAsJson(const DaySummary& summary);
// The same as text. Flight by flight: of a thousand flights the JSON tree takes 60 MB, its text 4.
Expected<std::string> SummaryAsText(const DaySummary& summary);
// One line for each flight, units in the columns' names, 95 % intervals as two columns.
std::string SummaryAsCsv(const DaySummary& summary);
// summary.json of FOLDER. Errors: "not-a-day" where there is none, and those of reading JSON.
Expected<DaySummary> ReadSummary(const std::filesystem::path& folder);
// What else belongs into a day's folder, such as its pages: written last, while the folder is still locked.
using FinishDay = std::function<Status(const DaySummary&)>;

// Writes summary.json and summary.csv into summary.folder, each atomically.
Status WriteSummary(const DaySummary& summary);

}  // namespace loftline
