// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/plan_commands.h"
#include "calibrate/survey_file.h"
#include "core/atomic_file.h"
#include "core/text.h"
#include "study/launch_table.h"

#include <filesystem>
#include <optional>
#include <ostream>
#include <vector>

namespace loftline {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

struct TableRequest {
  std::string designs;
  int launches = 5;
  int seed = 1;
  std::optional<std::string> survey, out;
};

// The survey as the table will name it: seen from the table's own folder.
std::string SurveyFromTable(const TableRequest& request) {
  if (!request.survey) return "";
  std::error_code problem;
  const fs::path folder = request.out ? fs::absolute(*request.out, problem).parent_path() : fs::current_path(problem);
  const fs::path relative = fs::proximate(fs::absolute(*request.survey, problem), folder, problem);
  return problem ? *request.survey : relative.generic_string();
}

Status WriteTable(const std::string& path, const std::string& csv) {
  std::error_code problem;
  if (fs::exists(fs::symlink_status(path, problem))) {
    return Error{ErrorKind::kInvalidInput,
                 "file-exists",
                 Quoted(path) + " is there already, and may hold what somebody filled in.",
                 "Give another name, or move the old table away."};
  }
  return WriteFileAtomically(path, csv);
}

Expected<std::vector<PlannedLaunch>> PlanTable(const TableRequest& request) {
  const Expected<std::vector<std::string>> designs = DesignNames(request.designs);
  if (!designs) return designs.error();
  if (request.seed < 0) {
    return Error{ErrorKind::kInvalidInput,
                 "bad-value",
                 "A seed below zero cannot be.",
                 "Give any whole number from 0 up; each gives another order.",
                 "",
                 0,
                 "--seed"};
  }
  if (request.survey) {
    if (const Expected<Survey> survey = ReadSurvey(*request.survey); !survey) return survey.error();
  }
  return ShuffledLaunches({*designs, request.launches, static_cast<std::uint64_t>(request.seed)});
}

Json TableAsJson(const std::vector<PlannedLaunch>& launches, const TableRequest& request) {
  Json rows = Json::array();
  for (const PlannedLaunch& launch : launches) {
    rows.push_back(
        {{"launch", launch.number}, {"round", launch.round}, {"design", launch.design}, {"clip", launch.clip}});
  }
  return {{"file", request.out ? Json(*request.out) : Json(nullptr)}, {"seed", request.seed}, {"launches", rows}};
}

}  // namespace

int RunPlanTable(std::span<const std::string> arguments, Streams io, const RunControl& /*control*/) {
  TableRequest request;
  CommandLine line("plan",
                   "Makes the table of a launch day, in an order that compares the designs fairly: rounds in which "
                   "every design flies once, each shuffled by itself.",
                   "  loftline plan --designs Heron,Curlew,Puffin --launches 5 --seed 7 \\\n"
                   "      --survey field.survey.json --out day.csv");
  line.Required("--designs", &request.designs, "Names with commas between; one with a comma in double quotes");
  line.Number("--launches", &request.launches, "Of each design (default 5)");
  line.Number("--seed", &request.seed, "Another number gives another order (default 1)");
  line.Optional("--survey", &request.survey, "Survey file that goes into every row; without: to be filled in");
  line.Optional("--out", &request.out, "The table to write, a file that is not there yet; without: printed");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  const Expected<std::vector<PlannedLaunch>> launches = PlanTable(request);
  if (!launches) return TellError(launches.error(), line.json(), io);
  const std::string csv = LaunchTableAsCsv(*launches, SurveyFromTable(request));
  if (request.out) {
    if (Status status = WriteTable(*request.out, csv); !status) return TellError(status.error(), line.json(), io);
    if (io.err_is_terminal) io.err << "wrote " << *request.out << "\n";
  }
  if (line.json()) return PrintJson(TableAsJson(*launches, request), kExitMeasured, io);
  if (!request.out) io.out << csv;
  return kExitMeasured;
}

}  // namespace loftline
