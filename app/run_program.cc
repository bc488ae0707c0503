// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/run_program.h"

#include "app/commands.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "core/text.h"

#include <algorithm>
#include <array>
#include <exception>
#include <new>
#include <ostream>
#include <string_view>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

struct Command {
  const char* name;
  const char* purpose;
  int (*run)(std::span<const std::string>, Streams, const RunControl&);
};

constexpr std::array kCommands = {
    Command{"calibrate", "make a survey file from marks and measurements", RunCalibrate},
    Command{"track", "find the rocket in a clip", RunTrack},
    Command{"fit", "fit a flight to a track", RunFit},
    Command{"measure", "track, fit and report in one go", RunMeasure},
    Command{"batch", "measure all clips of a launch day", RunBatch},
    Command{"merge", "join the parts of a day that several machines measured", RunMerge},
    Command{"compare", "compare the designs of measured days", RunCompare},
    Command{"plan", "plan a launch day: where to film from, in what order, how often", RunPlan},
    Command{"predict", "say where a launch would go, and how well that is known", RunPredict},
    Command{"validate", "check a flight simulator against measured flights", RunValidate},
    Command{"serve", "all of it in a browser, by pointing and looking", RunServe},
};

std::string Help() {
  std::string text = "Measures the flight of paper rockets from phone clips.\n\nloftline COMMAND ...\n\nCommands:\n";
  for (const Command& command : kCommands) text += fmt::format("  {:<12}{}\n", command.name, command.purpose);
  return text +
         "\n'loftline COMMAND --help' says what a command takes, with an example.\n"
         "\nExit status: 0 measured (also with cautions), 2 usage, 3 refused,\n"
         "4 unreadable or invalid input, 5 internal.\n";
}

int TellUnknown(const std::string& word, bool as_json, Streams io) {
  std::vector<std::string> names;
  names.reserve(kCommands.size());
  for (const Command& command : kCommands) names.emplace_back(command.name);
  std::string message = "There is no command " + Quoted(word) + ".";
  if (const std::optional<std::string> nearest = NearestWord(word, names)) message += " Did you mean " + *nearest + "?";
  return TellError(
      {ErrorKind::kUsage, "unknown-command", message, "'loftline --help' lists the commands."}, as_json, io);
}

int Dispatch(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  const bool as_json = std::find(arguments.begin(), arguments.end(), "--json") != arguments.end();
  if (arguments.empty()) {
    io.err << Help();
    return kExitUsage;
  }
  const std::string& word = arguments.front();
  if (word == "--help" || word == "-h" || word == "help") {
    io.out << Help();
    return kExitMeasured;
  }
  if (word == "--version") {
    io.out << "loftline " << LOFTLINE_VERSION << "\n";
    return kExitMeasured;
  }
  const auto* command =
      std::find_if(kCommands.begin(), kCommands.end(), [&](const Command& known) { return word == known.name; });
  if (command == kCommands.end()) return TellUnknown(word, as_json, io);
  return command->run(arguments.subspan(1), io, control);
}

}  // namespace

int RunProgram(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  const bool as_json = std::find(arguments.begin(), arguments.end(), "--json") != arguments.end();
  try {
    const int status = Dispatch(arguments, io, control);
    io.out.flush();
    if (io.out) return status;
    return TellError({ErrorKind::kInternal, "cannot-write", "The standard output cannot be written.", ""}, false, io);
  } catch (const std::bad_alloc&) {
    return TellError(
        {ErrorKind::kInternal, "no-memory", "The machine has no memory left.", "Close other programs."}, as_json, io);
  } catch (const std::exception& mistake) {
    return TellError({ErrorKind::kInternal,
                      "internal",
                      std::string("This is a mistake in Loftline itself: ") + mistake.what() + ".",
                      "Please report it with the command line that led here."},
                     as_json,
                     io);
  }
}

}  // namespace loftline
