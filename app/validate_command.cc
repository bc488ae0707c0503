// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/progress_line.h"
#include "app/validation_files.h"
#include "report/validation_text.h"
#include "study/validate_many.h"
#include "study/validation_table.h"

#include <algorithm>
#include <ostream>
#include <thread>

namespace loftline {
namespace {

namespace fs = std::filesystem;

// The command line as written.
struct ValidateText {
  std::vector<std::string> results, simulator_stds;
  std::optional<std::string> simulator, table, columns, align, launch_time, launch, worth, out;
  bool explain = false;
};

void AddOptions(CommandLine* line, ValidateText* text) {
  line->SeveralOrNone("RESULT", &text->results, "Results of 'loftline measure' or 'fit', or folders with some below");
  line->Optional("--simulator", &text->simulator, "The simulator's table: time, distance, height, as CSV or the like");
  line->Optional("--table", &text->table, "Instead of results: a table with the columns result and simulator");
  line->Optional("--out", &text->out, "The folder to write validation.html and validation.json into");
  line->Flag("--explain", &text->explain, "Also say how the verdicts come about, and the error along the path");
  line->Group("Understanding the table");
  line->Optional(
      "--columns", &text->columns, "time=t,x=Distance,y=\"Height [ft]\": which column is what, and its unit");
  line->Optional("--align",
                 &text->align,
                 "launch (default), apogee, fit, or none: how its clock and origin are laid upon the footage's");
  line->Optional("--launch-time", &text->launch_time, "When it leaves the tube by its own clock, \"0.05 s\"");
  line->Optional("--launch",
                 &text->launch,
                 "own (default), or measured: it was started with the speed and angle of this very result");
  line->Group("Judging");
  line->Repeated("--simulator-std",
                 &text->simulator_stds,
                 "The simulator's own standard uncertainty: \"2 %\" of the distance flown, \"0.3 m\", \"0.1 m/s\"");
  line->Optional("--worth", &text->worth, "The error that matters, \"10 %\" (default) of a value");
}

Expected<FlightToValidate> UsualOf(const ValidateText& text) {
  OptionValues values;
  FlightToValidate usual;
  const auto keep = [&](const std::string& option, const auto& expected) {
    if (!expected) values.Keep(option, expected.error());
    return static_cast<bool>(expected);
  };
  if (text.simulator) usual.simulator.file = *text.simulator;
  if (text.columns) {
    Expected<std::vector<ColumnChoice>> columns = ParseColumnChoices(*text.columns);
    if (keep("--columns", columns)) usual.simulator.columns = std::move(*columns);
  }
  for (const std::string& std : text.simulator_stds) keep("--simulator-std", AddToBand(std, usual.simulator.band));
  if (text.align) {
    const Expected<Align> align = ParseAlign(*text.align);
    if (keep("--align", align)) usual.options.align = *align;
  }
  if (text.launch) {
    const Expected<bool> as_measured = ParseLaunchAsMeasured(*text.launch);
    if (keep("--launch", as_measured)) usual.options.launch_as_measured = *as_measured;
  }
  values.Put("--launch-time", text.launch_time, Dimension::kTime, 1.0, &usual.options.simulator_launch_s);
  if (usual.options.simulator_launch_s && usual.options.align != Align::kLaunch) {
    values.Reject("--launch-time", "It only goes with --align launch.", "Leave one of the two out.");
  }
  if (const auto worth = values.TakePositive("--worth", text.worth, Dimension::kFraction, 0.0)) {
    usual.options.matters = worth->value;
  }
  if (Status status = values.Finish(); !status) return status.error();
  return usual;
}

// Files as they are, folders as all the results below them, in order of their names.
Expected<std::vector<fs::path>> ExpandFolders(const std::vector<std::string>& results) {
  std::vector<fs::path> files;
  for (const std::string& result : results) {
    std::error_code problem;
    if (!fs::is_directory(result, problem)) {
      files.emplace_back(result);
      continue;
    }
    std::vector<fs::path> found;
    // Going on by increment, as a for loop would throw where a folder below cannot be read.
    for (fs::recursive_directory_iterator at(result, problem), end; !problem && at != end; at.increment(problem)) {
      if (at->path().string().ends_with(".result.json")) found.push_back(at->path());
    }
    if (problem || found.empty()) {
      return Error{
          ErrorKind::kInvalidInput,
          "cannot-read",
          problem ? "The folder cannot be read: " + problem.message() + "." : "There is no result in this folder.",
          "Name a folder that 'loftline measure' or 'batch' wrote into.",
          result};
    }
    std::ranges::sort(found);
    files.insert(files.end(), found.begin(), found.end());
  }
  return files;
}

Error Usage(const std::string& message) {
  return {ErrorKind::kUsage, "bad-usage", message, "Run 'loftline validate --help' for what it takes."};
}

Expected<std::vector<FlightToValidate>> FlightsOf(const ValidateText& text) {
  const Expected<FlightToValidate> usual = UsualOf(text);
  if (!usual) return usual.error();
  if (text.table) {
    if (!text.results.empty()) return Usage("Results are named both one by one and by --table.");
    return ReadValidationTable(*text.table, *usual);
  }
  if (text.results.empty()) return Usage("There is no result to compare with.");
  if (!text.simulator) return Usage("--simulator is required, or a --table of pairs.");
  const Expected<std::vector<fs::path>> files = ExpandFolders(text.results);
  if (!files) return files.error();
  std::vector<FlightToValidate> flights(files->size(), *usual);
  for (std::size_t i = 0; i < flights.size(); ++i) flights[i].result = (*files)[i];
  return flights;
}

Expected<ValidationDocument> Validate(const ValidateText& text, Streams io, const RunControl& control) {
  const Expected<std::vector<FlightToValidate>> flights = FlightsOf(text);
  if (!flights) return flights.error();
  ProgressLine progress("comparing", 0, io);
  const auto threads = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 1024U));
  return ValidateMany(*flights, threads, progress.Watching(control));
}

Status WriteFiles(const ValidationDocument& document, const std::string& out, Streams io) {
  const Expected<std::vector<fs::path>> written = WriteValidation(document, out);
  if (!written) return written.error();
  if (io.err_is_terminal) {
    for (const fs::path& file : *written) io.err << "wrote " << file.string() << "\n";
  }
  return Done{};
}

}  // namespace

int RunValidate(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  ValidateText text;
  CommandLine line("validate",
                   "Checks a flight simulator against measured flights: where do they differ by more than the "
                   "uncertainties allow, and what would mend it?",
                   "  loftline validate heron-03.result.json --simulator heron.csv --out check\n"
                   "  loftline validate day --simulator heron.csv --columns time=t,x=s,y=h\n"
                   "  loftline validate --table pairs.csv --out check");
  AddOptions(&line, &text);
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;
  const Expected<ValidationDocument> document = Validate(text, io, control);
  if (!document) return TellError(document.error(), line.json(), io);
  if (text.out) {
    if (Status status = WriteFiles(*document, *text.out, io); !status) {
      return TellError(status.error(), line.json(), io);
    }
  }
  if (line.json()) return PrintJson(ValidationDocumentAsJson(*document), kExitMeasured, io);
  io.out << ValidationText(*document, text.explain);
  return kExitMeasured;
}

}  // namespace loftline
