// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/comparison_files.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "report/comparison_text.h"
#include "study/compare_day.h"
#include "study/comparison_file.h"

#include <ostream>

namespace loftline {
namespace {

struct CompareRequest {
  std::vector<std::string> folders;
  std::string out;
  CompareOptions options;
};

Expected<Comparison> CompareFolders(const CompareRequest& request) {
  std::vector<DaySummary> days;
  for (const std::string& folder : request.folders) {
    Expected<DaySummary> day = ReadSummary(folder);
    if (!day) return day.error();
    days.push_back(std::move(*day));
  }
  return CompareDays(days, request.options);
}

}  // namespace

int RunCompare(std::span<const std::string> arguments, Streams io, const RunControl&) {
  CompareRequest request;
  std::optional<std::string> out, variable, speed, angle, difference;
  CommandLine line("compare",
                   "Compares the designs of a measured launch day, as launched and at one standard launch.",
                   "  loftline compare results\n"
                   "  loftline compare friday saturday --variable fins --out both");
  line.Several("DIR", &request.folders, "Folders that 'loftline batch' wrote into; several days are compared together");
  line.Optional("--out", &out, "The folder to write comparison.html and comparison.json into (default: the first DIR)");
  line.Optional("--variable", &variable, "Group by this design variable of the table instead of by design");
  line.Flag("--accepted-only", &request.options.accepted_only, "Leave out every flight that has a caution");
  line.Group("Standard launch (default: medians of the flights)");
  line.Optional("--speed", &speed, "\"25 m/s\"");
  line.Optional("--angle", &angle, "\"60 deg\"");
  line.Group("Planning");
  line.Optional("--difference",
                &difference,
                "The difference in range or apogee worth knowing, \"1 m\" (default: about 5 % of the median)");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  OptionValues values;
  request.options.variable = variable;
  request.out = out.value_or(request.folders.front());
  values.Put("--speed", speed, Dimension::kSpeed, 1.0, &request.options.speed_m_s);
  values.Put("--angle", angle, Dimension::kAngle, DegFromRad(1.0), &request.options.angle_deg);
  if (const auto worth = values.TakePositive("--difference", difference, Dimension::kLength, 0.0)) {
    request.options.worth_knowing_m = worth->value;
  }
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);
  const Expected<Comparison> comparison = CompareFolders(request);
  if (!comparison) return TellError(comparison.error(), line.json(), io);
  if (Status status = WriteComparison(*comparison, request.out); !status) {
    return TellError(status.error(), line.json(), io);
  }
  if (line.json()) return PrintJson(ComparisonAsJson(*comparison), kExitMeasured, io);
  io.out << ComparisonText(*comparison);
  return kExitMeasured;
}

}  // namespace loftline
