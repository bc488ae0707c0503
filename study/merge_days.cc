// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/merge_days.h"

#include "study/day_folder.h"

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

Error Bad(const char* code, const std::string& message, const std::string& advice, const fs::path& where) {
  return {ErrorKind::kInvalidInput, code, message, advice, where.string()};
}

std::optional<Error> Foreign(const DaySummary& shard, const DaySummary& first) {
  const auto differs = [&](const std::string& what, const std::string& here, const std::string& there) {
    return Bad("shard-foreign",
               fmt::format("This part was measured {} {}, the one in {} {}.", what, here, first.folder.string(), there),
               "Join parts of one table, measured by one version with one number of shards.",
               shard.folder);
  };
  if (shard.table_sha256 != first.table_sha256) {
    return differs("from a table of other contents:", shard.table, first.table);
  }
  if (shard.program_version != first.program_version) {
    return differs("by version", shard.program_version, first.program_version);
  }
  if (shard.shards != first.shards) {
    return differs("as one of", std::to_string(shard.shards), "as one of " + std::to_string(first.shards));
  }
  return std::nullopt;
}

std::optional<Error> Incomplete(const DaySummary& shard) {
  std::vector<int> missing;
  for (const FlightRecord& flight : shard.flights) {
    const bool kept = flight.folder.empty() || fs::is_directory(shard.folder / flight.folder);
    const bool failed = flight.folder.empty() && flight.outcome.outcome != Outcome::kSkipped;
    if (flight.outcome.outcome == Outcome::kMissing || failed || !kept) missing.push_back(flight.row.line);
  }
  if (missing.empty()) return std::nullopt;
  return Bad("shard-incomplete",
             fmt::format("Part {} of {} lacks the flights of line{} {} of the table.",
                         shard.shard,
                         shard.shards,
                         missing.size() == 1 ? "" : "s",
                         fmt::join(missing, ", ")),
             fmt::format("Run it again: loftline batch ... --shard {}/{}", shard.shard, shard.shards),
             shard.folder);
}

// All shards there, each once, each complete.
std::optional<Error> WhatIsWrong(const std::vector<DaySummary>& shards) {
  std::map<int, fs::path> places;
  for (const DaySummary& shard : shards) {
    if (std::optional<Error> error = Foreign(shard, shards.front())) return error;
    const auto [twin, fresh] = places.emplace(shard.shard, shard.folder);
    if (!fresh) {
      return Bad("shard-twice",
                 fmt::format("Part {} of {} is in {} too.", shard.shard, shard.shards, twin->second.string()),
                 "Name each part once.",
                 shard.folder);
    }
    if (std::optional<Error> error = Incomplete(shard)) return error;
  }
  std::vector<int> missing;
  for (int number = 1; number <= shards.front().shards; ++number) {
    if (!places.contains(number)) missing.push_back(number);
  }
  if (missing.empty()) return std::nullopt;
  return Bad("shard-missing",
             fmt::format("Of {} parts {} {} missing.",
                         shards.front().shards,
                         fmt::join(missing, ", "),
                         missing.size() == 1 ? "is" : "are"),
             "Name the folders of all parts; measure those that are not there yet.",
             shards.front().folder);
}

DaySummary Joined(const std::vector<DaySummary>& shards, const fs::path& folder) {
  DaySummary day = shards.front();
  day.folder = folder;
  day.shard = day.shards = 1;
  day.flights.clear();
  for (const DaySummary& shard : shards) {
    day.flights.insert(day.flights.end(), shard.flights.begin(), shard.flights.end());
    if (day.variables.empty()) day.variables = shard.variables;  // a part without rows knows none
  }
  std::ranges::sort(day.flights, {}, [](const FlightRecord& flight) { return flight.row.line; });
  return day;
}

Status TakeFlights(const std::vector<DaySummary>& shards, const DayFolder& day) {
  std::set<std::string> names;
  for (const DaySummary& shard : shards) {
    for (const FlightRecord& flight : shard.flights) {
      if (flight.folder.empty()) continue;
      const std::string name = fs::path(flight.folder).filename().string();
      names.insert(name);
      if (Status status = day.TakeCopy(name, shard.folder / flight.folder); !status) return status;
    }
  }
  day.Sweep(names);
  return Done{};
}

}  // namespace

Expected<DaySummary> MergeDays(const std::vector<fs::path>& shards, const fs::path& folder, const FinishDay& finish) {
  std::vector<DaySummary> summaries;
  for (const fs::path& shard : shards) {
    Expected<DaySummary> summary = ReadSummary(shard);
    if (!summary) return summary.error();
    summaries.push_back(std::move(*summary));
  }
  if (summaries.empty()) throw std::invalid_argument("no shards to merge");
  if (std::optional<Error> error = WhatIsWrong(summaries)) return *error;
  Expected<DayFolder> day = DayFolder::Open(folder);
  if (!day) return day.error();
  if (Status status = TakeFlights(summaries, *day); !status) return status.error();
  DaySummary joined = Joined(summaries, folder);
  if (Status status = WriteSummary(joined); !status) return status.error();
  if (!finish) return joined;
  if (Status status = finish(joined); !status) return status.error();
  return joined;
}

}  // namespace loftline
