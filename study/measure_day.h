// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// study: from a launch day's table to a comparison of its designs. MeasureDay runs through the table's clips,
// CompareDays compares the designs of one or more days that were measured.
#pragma once

#include "core/expected.h"
#include "core/run_control.h"
#include "study/day_table.h"
#include "study/flight_record.h"
#include "study/summary_file.h"

#include <filesystem>
#include <functional>

namespace loftline {

struct MeasureDayOptions {
  int jobs = 1;               // cores to use: so many clips at once, the last ones with several decoding threads each
  bool force = false;         // measure again what is there already
  int shard = 1, shards = 1;  // only each SHARDS-th row, beginning with row SHARD
};

// What the caller does with one row: measures its clip and writes the files that it wants to keep into FOLDER, with
// that many decoding threads. A refusal is an outcome. Called on several threads at once. Errors of kind kInvalidInput
// make the flight unreadable, those of kRefused make it refused; "cannot-write" and kCancelled end the run; any other
// is told after all other flights were measured.
using MeasureRow = std::function<Expected<FlightOutcome>(
    const DayRow& row, const std::filesystem::path& folder, int threads, const RunControl& control)>;

// A flight that is done, for whoever watches; called for one at a time. REUSED: it was there from an earlier run.
struct FlightDone {
  const FlightRecord* record = nullptr;
  bool reused = false;
  int done = 0, total = 0;  // of the flights that are not skipped
  int measured_in_this_run = 0;
};
using OnFlightDone = std::function<void(const FlightDone&)>;

// Measures what the folder does not hold yet and leaves summary.json and summary.csv in it. A flight's folder is named
// by a hash of everything that its measurement hangs on: the clip's name and bytes, the survey's bytes, mass, diameter,
// and the program's version; so that a change of a note, or of a design's name, measures nothing again.
// Errors: those of DayFolder::Open; "cannot-write" in the middle of a run; "cancelled", after which the summary names
// the flights that are missing; "internal" for a mistake of our own, after all other flights were measured.
Expected<DaySummary> MeasureDay(const DayTable& table,
                                const std::filesystem::path& folder,
                                const MeasureDayOptions& options,
                                const MeasureRow& measure_row,
                                const OnFlightDone& on_done = {},
                                const RunControl& control = {},
                                const FinishDay& finish = {});

// The rows of a shard, by their index in the table: r with r mod SHARDS == SHARD - 1.
std::vector<std::size_t> RowsOfShard(std::size_t rows, int shard, int shards);

// What a result says, as far as a launch day needs it.
FlightOutcome OutcomeOf(const FlightResult& result);
// A clip that could not be read, or gives no picture of its flight.
FlightOutcome OutcomeOf(const Error& error);

}  // namespace loftline
