// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/measure_day.h"

#include "study/day_folder.h"
#include "tracker/clip_info.h"
#include "tracker/sha256.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <map>
#include <mutex>
#include <set>
#include <thread>

#include <fmt/format.h>

namespace loftline {
namespace {

Error Mistake(const std::string& clip, const std::string& what) {
  return {ErrorKind::kInternal,
          "internal",
          fmt::format("Measuring {} met a mistake in Loftline itself: {}.", clip, what),
          "Please report it; the other flights are measured."};
}

Error Cancelled() {
  return {ErrorKind::kCancelled, "cancelled", "Stopped before all clips were measured.", "Run it again to go on."};
}

// Folder names have an end (255 bytes in most file systems); the key after it tells flights apart.
std::string ShortStem(const std::string& stem) {
  std::size_t end = std::min<std::size_t>(stem.size(), 80);
  while (end > 0 && end < stem.size() && (static_cast<unsigned char>(stem[end]) & 0xC0U) == 0x80U) --end;
  return stem.substr(0, end);
}

std::string WrittenOut(const std::optional<Measured>& measured) {
  return measured ? fmt::format("{:.17g}~{:.17g}", measured->value, measured->std) : "-";
}

std::string FolderName(const DayRow& row, const std::string& clip_sha256, const std::string& survey_sha256) {
  const std::string everything = fmt::format("{}\n{}\n{}\n{}\n{}\n{}",
                                             LOFTLINE_VERSION,
                                             row.clip,
                                             clip_sha256,
                                             survey_sha256,
                                             WrittenOut(row.mass_kg),
                                             WrittenOut(row.diameter_m));
  return ShortStem(row.clip_path.stem().string()) + "-" + Sha256Of(everything).substr(0, 16);
}

// Runs the rows on several threads. What they share is behind one mutex.
class DayRun {
 public:
  DayRun(const DayTable& table,
         const DayFolder& folder,
         const MeasureDayOptions& options,
         const MeasureRow& measure_row,
         const OnFlightDone& on_done,
         const RunControl& control)
      : folder_(folder), options_(options), measure_row_(measure_row), on_done_(on_done), control_(control) {
    summary_.folder = folder.path();
    summary_.table = table.file.filename().string();
    summary_.table_sha256 = table.sha256;
    summary_.table_rows = static_cast<int>(table.rows.size());
    summary_.program_version = LOFTLINE_VERSION;
    summary_.shard = options.shard;
    summary_.shards = options.shards;
    summary_.variables = table.variables;
    for (const std::size_t index : RowsOfShard(table.rows.size(), options.shard, options.shards))
      AddRow(table.rows[index]);
  }

  Expected<DaySummary> Run(const FinishDay& finish) {
    {
      std::vector<std::jthread> workers;
      const std::size_t count = std::min<std::size_t>(static_cast<std::size_t>(options_.jobs), to_do_.size());
      for (std::size_t i = 0; i < count; ++i) workers.emplace_back([this] { Work(); });
    }
    if (fatal_ && fatal_->kind != ErrorKind::kCancelled) return *fatal_;
    const bool complete = std::ranges::all_of(
        summary_.flights, [](const FlightRecord& flight) { return flight.outcome.outcome != Outcome::kMissing; });
    if (complete) folder_.Sweep(names_);
    if (Status status = WriteSummary(summary_); !status) return status.error();
    if (finish) {
      if (Status status = finish(summary_); !status) return status.error();
    }
    if (fatal_) return *fatal_;
    if (mistake_) return *mistake_;
    if (!complete) return Cancelled();
    return std::move(summary_);
  }

 private:
  void AddRow(const DayRow& row) {
    FlightRecord record;
    record.row = row;
    if (row.skip) {
      record.outcome.outcome = Outcome::kSkipped;
    } else {
      to_do_.push_back(summary_.flights.size());
    }
    summary_.flights.push_back(std::move(record));
  }

  void Work() {
    while (!Stopped()) {
      const std::size_t next = next_++;
      if (next >= to_do_.size()) return;
      FlightRecord& record = summary_.flights[to_do_[next]];
      // The last clips of a run share the cores that have nothing else to do.
      const auto left = static_cast<int>(to_do_.size() - next);
      const int threads = std::max(1, options_.jobs / std::min(options_.jobs, left));
      try {
        MeasureOne(&record, threads);
      } catch (const std::exception& problem) {
        Keep(&mistake_, Mistake(record.row.clip, problem.what()));
      }
    }
  }

  bool Stopped() {
    const std::lock_guard guard(mutex_);
    return fatal_.has_value() || control_.stop.stop_requested();
  }

  void Keep(std::optional<Error>* place, const Error& error) {
    const std::lock_guard guard(mutex_);
    if (!*place) *place = error;
  }

  Expected<std::string> SurveySha256(const DayRow& row) {
    {
      const std::lock_guard guard(mutex_);
      const auto known = surveys_.find(row.survey);
      if (known != surveys_.end()) return known->second;
    }
    Expected<std::string> sha256 = Sha256OfFile(row.survey_path);
    if (!sha256) return sha256;
    const std::lock_guard guard(mutex_);
    surveys_.emplace(row.survey, *sha256);
    return sha256;
  }

  void MeasureOne(FlightRecord* record, int threads) {
    const DayRow& row = record->row;
    const Expected<std::string> clip = Sha256OfFile(row.clip_path);
    const Expected<std::string> survey = SurveySha256(row);
    if (!clip || !survey) {  // it was there when the table was read; nothing is kept, so that the next run looks again
      FlightOutcome outcome = OutcomeOf(clip ? survey.error() : clip.error());
      Record(record, std::move(outcome), "", false);
      return;
    }
    const std::string name = FolderName(row, *clip, *survey);
    if (!options_.force) {
      if (std::optional<FlightOutcome> known = folder_.Find(name)) {
        Record(record, std::move(*known), name, true);
        return;
      }
    }
    const Expected<std::filesystem::path> partial = folder_.Begin(name);
    if (!partial) return Keep(&fatal_, partial.error());
    Expected<FlightOutcome> measured = measure_row_(row, *partial, threads, control_);
    if (!measured && measured.error().kind == ErrorKind::kCancelled) return GiveUp(name, Cancelled());
    if (!measured && !IsAboutTheClip(measured.error())) return GiveUp(name, measured.error());
    FlightOutcome outcome = measured ? std::move(*measured) : OutcomeOf(measured.error());
    outcome.clip_sha256 = *clip;
    outcome.survey_sha256 = *survey;
    if (Status status = folder_.Finish(name, outcome); !status) return GiveUp(name, status.error());
    Record(record, std::move(outcome), name, false);
  }

  static bool IsAboutTheClip(const Error& error) {
    const bool input = error.kind == ErrorKind::kInvalidInput || error.kind == ErrorKind::kRefused;
    return input && error.code != "cannot-write";
  }

  // Only a disk that takes nothing more, or somebody's wish, ends the run; any other mistake is that flight's alone.
  void GiveUp(const std::string& name, const Error& error) {
    folder_.Abandon(name);
    const bool ends = error.code == "cannot-write" || error.kind == ErrorKind::kCancelled;
    Keep(ends ? &fatal_ : &mistake_, error);
  }

  void Record(FlightRecord* record, FlightOutcome outcome, const std::string& name, bool reused) {
    const std::lock_guard guard(mutex_);
    record->outcome = std::move(outcome);
    record->folder = name.empty() ? "" : "flights/" + name;
    record->stem = record->row.clip_path.stem().string();
    names_.insert(name);
    ++done_;
    if (!reused) ++measured_;
    if (on_done_) on_done_({record, reused, done_, static_cast<int>(to_do_.size()), measured_});
  }

  const DayFolder& folder_;
  const MeasureDayOptions& options_;
  const MeasureRow& measure_row_;
  const OnFlightDone& on_done_;
  const RunControl& control_;
  DaySummary summary_;
  std::vector<std::size_t> to_do_;  // flights to measure, by their index in the summary
  std::atomic<std::size_t> next_ = 0;

  std::mutex mutex_;
  std::optional<Error> fatal_, mistake_;
  std::map<std::string, std::string> surveys_;
  std::set<std::string> names_;
  int done_ = 0, measured_ = 0;
};

}  // namespace

std::vector<std::size_t> RowsOfShard(std::size_t rows, int shard, int shards) {
  std::vector<std::size_t> indices;
  for (auto row = static_cast<std::size_t>(shard - 1); row < rows; row += static_cast<std::size_t>(shards)) {
    indices.push_back(row);
  }
  return indices;
}

Expected<DaySummary> MeasureDay(const DayTable& table,
                                const std::filesystem::path& folder,
                                const MeasureDayOptions& options,
                                const MeasureRow& measure_row,
                                const OnFlightDone& on_done,
                                const RunControl& control,
                                const FinishDay& finish) {
  Expected<DayFolder> day = DayFolder::Open(folder);
  if (!day) return day.error();
  return DayRun(table, *day, options, measure_row, on_done, control).Run(finish);
}

}  // namespace loftline
