// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/batch_progress.h"
#include "app/command_line.h"
#include "app/commands.h"
#include "app/day_pages.h"
#include "app/exit_status.h"
#include "app/measure_row.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/shard_option.h"
#include "report/day_text.h"
#include "study/measure_day.h"

#include <algorithm>
#include <ostream>
#include <thread>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr int kMostJobs = 1024;

int TellProblems(const std::vector<Error>& problems, const std::string& table, bool as_json, Streams io) {
  Error all{ErrorKind::kInvalidInput,
            "bad-table",
            fmt::format("{} of the table cannot be used as {}.",
                        problems.size() == 1 ? "One cell" : fmt::format("{} cells", problems.size()),
                        problems.size() == 1 ? "it stands" : "they stand"),
            "Nothing was measured: correct the table, or write yes under skip in a row, and run it again.",
            table};
  if (as_json) {
    nlohmann::ordered_json json = ErrorAsJson(all);
    json["error"]["problems"] = nlohmann::ordered_json::array();
    for (const Error& problem : problems) json["error"]["problems"].push_back(ErrorAsJson(problem)["error"]);
    return PrintJson(json, kExitInvalidInput, io);
  }
  for (const Error& problem : problems) TellError(problem, false, io);
  return TellError(all, false, io);
}

Expected<DaySummary> MeasureAndShow(const DayTable& table,
                                    const std::string& out,
                                    const MeasureDayOptions& options,
                                    Streams io,
                                    const RunControl& control) {
  BatchProgress progress(io);
  return MeasureDay(
      table,
      out,
      options,
      [](const DayRow& row, const std::filesystem::path& folder, int threads, const RunControl& day) {
        return MeasureRowInto(row, folder, threads, {day.stop, {}});  // the line tells of clips done, not of each one
      },
      [&progress](const FlightDone& done) { progress.Show(done); },
      control,
      WriteDayPages);
}

}  // namespace

int RunBatch(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  std::string table, out;
  std::optional<std::string> shard_text;
  MeasureDayOptions options;
  options.jobs = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 1024U));
  bool resume = false;
  CommandLine line("batch",
                   "Measures all clips of a launch day, as its table lists them, into one folder.",
                   "  loftline batch day.csv --out results");
  line.Argument("TABLE", &table, "The day table: clip, survey, design, launch, mass_g, diameter_mm, and more");
  line.Required("--out", &out, "The folder to measure into; what it holds already is not measured again");
  line.Number("--jobs", &options.jobs, "How many cores to use, one clip on each (default: all there are)");
  line.Optional("--shard", &shard_text, "Only a part of the rows: 3/8 is the third of eight, for several machines");
  line.Flag("--resume", &resume, "Go on with a run that was broken off: as it always does, for scripts to say so");
  line.Flag("--force", &options.force, "Measure again what is there already");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  OptionValues values;
  const Shard shard = ReadShard(shard_text, &values);
  options.shard = shard.number;
  options.shards = shard.of;
  if (options.jobs < 1 || options.jobs > kMostJobs) {
    values.Reject("--jobs", fmt::format("It must be from 1 to {}.", kMostJobs), "Leave it out to use all cores.");
  }
  if (resume && options.force) {
    values.Reject("--force", "It contradicts --resume.", "Give one of them: --force measures everything again.");
  }
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);
  const Expected<DayTableReading> reading = ReadDayTable(table);
  if (!reading) return TellError(reading.error(), line.json(), io);
  if (!reading->problems.empty()) return TellProblems(reading->problems, table, line.json(), io);
  const Expected<DaySummary> summary = MeasureAndShow(reading->table, out, options, io, control);
  if (!summary) return TellError(summary.error(), line.json(), io);
  const bool any = CountOf(*summary, Outcome::kMeasured) > 0 || summary->flights.empty();
  const int exit_status = any ? kExitMeasured : kExitRefused;
  if (line.json()) return PrintJson(SummaryAsJson(*summary), exit_status, io);
  io.out << DayText(*summary);
  return exit_status;
}

}  // namespace loftline
