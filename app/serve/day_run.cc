// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_run.h"

#include "app/day_pages.h"
#include "app/measure_row.h"
#include "app/serve/day_check.h"
#include "app/serve/day_comparison.h"
#include "app/serve/day_progress.h"
#include "study/measure_day.h"

#include <fmt/format.h>

namespace loftline {
namespace {

Expected<DayTable> ReadSoundTable(const std::filesystem::path& path) {
  Expected<DayTableReading> reading = ReadDayTable(path);
  if (!reading) return reading.error();
  const std::size_t problems = reading->problems.size();
  if (problems == 0) return std::move(reading->table);
  return Error{ErrorKind::kInvalidInput,
               "bad-table",
               problems == 1 ? "One cell of the table cannot be used as it stands."
                             : fmt::format("{} cells of the table cannot be used as they stand.", problems),
               "Nothing was measured: correct them, or tick a row as skipped, and run the day again."};
}

// What stands beside the numbers: it must not outlive them. That it cannot be had now is no failure of the run.
Status Renew(const DayStore& store, const std::string& name, JobReport& report) {
  report.Stage("comparing");
  if (Status status = RenewComparison(store.FolderOf(name)); !status) return status;
  return RenewCheck(store.FolderOf(name));
}

}  // namespace

Status RunDay(const DayStore& store, const std::string& name, int jobs, const RunControl& control, JobReport& report) {
  const Expected<DayTable> table = ReadSoundTable(store.TableOf(name));
  if (!table) return table.error();
  report.Stage("measuring");
  DayProgress progress(*table, store.PathsOf(name), &report);
  MeasureDayOptions options;
  options.jobs = jobs;
  const MeasureRow measure_row =
      [&](const DayRow& row, const std::filesystem::path& folder, int threads, const RunControl& day) {
        progress.Measuring(row, 0.0);
        return MeasureRowInto(
            row, folder, threads, {day.stop, [&](double fraction) { progress.Measuring(row, fraction); }});
      };
  const Expected<DaySummary> summary = MeasureDay(
      *table,
      store.FolderOf(name) / kDayResults,
      options,
      measure_row,
      [&](const FlightDone& done) { progress.Done(done); },
      {control.stop, {}},
      WriteDayPages);
  if (!summary && summary.error().kind != ErrorKind::kCancelled) return summary.error();
  Status renewed = Renew(store, name, report);
  if (!summary) return summary.error();
  return renewed;
}

}  // namespace loftline
