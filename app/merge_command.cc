// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/day_pages.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "report/day_text.h"
#include "study/merge_days.h"

#include <filesystem>
#include <ostream>

namespace loftline {
namespace {

Expected<DaySummary> Merge(const std::vector<std::string>& parts, const std::string& out) {
  const std::vector<std::filesystem::path> folders(parts.begin(), parts.end());
  return MergeDays(folders, out, WriteDayPages);
}

}  // namespace

int RunMerge(std::span<const std::string> arguments, Streams io, const RunControl&) {
  std::vector<std::string> parts;
  std::string out;
  CommandLine line("merge",
                   "Joins the parts of a launch day that were measured with --shard, and sees that none is missing.",
                   "  loftline merge results/part-1 results/part-2 --out results");
  line.Several("DIR", &parts, "The folders of all parts");
  line.Required("--out", &out, "The folder to join them in");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;
  const Expected<DaySummary> day = Merge(parts, out);
  if (!day) return TellError(day.error(), line.json(), io);
  if (line.json()) return PrintJson(SummaryAsJson(*day), kExitMeasured, io);
  io.out << DayText(*day);
  return kExitMeasured;
}

}  // namespace loftline
