// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"

#include "app/exit_status.h"
#include "app/messages.h"
#include "core/text.h"
#include "core/wrap_text.h"

#include <algorithm>
#include <ostream>
#include <sstream>

#include <CLI/CLI.hpp>

namespace loftline {
namespace {

// Where the continued lines of a help text's line begin: below its second column, if it has one.
std::size_t HangOf(const std::string& line) {
  const std::size_t first = line.find_first_not_of(' ');
  if (first == std::string::npos) return 0;
  const std::size_t gap = line.find("  ", first);
  const std::size_t second = line.find_first_not_of(' ', gap);
  return gap == std::string::npos || second == std::string::npos || second > kTerminalColumns / 2 ? first : second;
}

// CLI11 leaves long lines to the terminal, which breaks words.
std::string FitToTerminal(const std::string& help) {
  std::istringstream lines(help);
  std::string fitted;
  for (std::string line; std::getline(lines, line);) {
    const std::size_t hang = Width(line) > kTerminalColumns ? HangOf(line) : 0;
    if (hang > 0 || Width(line) > kTerminalColumns) {
      fitted += line.substr(0, hang) + Wrapped(line.substr(hang), hang).substr(hang);
    } else {
      fitted += line + "\n";
    }
  }
  return fitted;
}

}  // namespace

CommandLine::CommandLine(const std::string& name, const std::string& purpose, const std::string& examples)
    : name_(name), app_(std::make_unique<CLI::App>(purpose, "loftline " + name)), group_("Options") {
  app_->footer("\nExample:\n" + examples);
  app_->set_help_flag("-h,--help", "Show this and stop");
  app_->set_version_flag("--version", std::string("loftline ") + LOFTLINE_VERSION, "Show the version and stop");
  app_->add_flag("--json", json_, "Print the result, or the error, as a JSON object");
  app_->allow_extras();  // what is unknown is told in Parse(), with a suggestion
}

CommandLine::~CommandLine() = default;

void CommandLine::Argument(const std::string& name, std::string* value, const std::string& help) {
  app_->add_option(name, *value, help)->required()->type_name("");
}

void CommandLine::Required(const std::string& name, std::string* value, const std::string& help) {
  app_->add_option(name, *value, help)->required()->type_name("TEXT")->group(group_);
}

void CommandLine::Several(const std::string& name, std::vector<std::string>* values, const std::string& help) {
  const auto no_option = [](const std::string& value) {  // else CLI11 takes one where the first value is missing
    return value.starts_with("--") ? "a file is missing before " + value : std::string();
  };
  app_->add_option(name, *values, help)
      ->required()
      ->expected(1, -1)
      ->check(CLI::Validator(no_option, ""))
      ->type_name("FILE")
      ->group(group_);
}

void CommandLine::SeveralOrNone(const std::string& name, std::vector<std::string>* values, const std::string& help) {
  app_->add_option(name, *values, help)->expected(0, -1)->type_name("FILE")->group(group_);
}

void CommandLine::Optional(const std::string& name, std::optional<std::string>* value, const std::string& help) {
  const auto take = [value](const std::string& text) { *value = text; };
  app_->add_option_function<std::string>(name, take, help)->type_name("TEXT")->group(group_);
}

void CommandLine::Repeated(const std::string& name, std::vector<std::string>* values, const std::string& help) {
  app_->add_option(name, *values, help)->allow_extra_args(false)->type_name("TEXT")->group(group_);
}

void CommandLine::Number(const std::string& name, int* value, const std::string& help) {
  app_->add_option(name, *value, help)->type_name("N")->group(group_);
}

void CommandLine::Flag(const std::string& name, bool* value, const std::string& help) {
  app_->add_flag(name, *value, help)->group(group_);
}

std::optional<int> CommandLine::Parse(std::span<const std::string> arguments, Streams io) {
  const bool json_wanted = std::find(arguments.begin(), arguments.end(), "--json") != arguments.end();
  const auto asks_help = [](const std::string& argument) { return argument == "--help" || argument == "-h"; };
  if (std::any_of(arguments.begin(), arguments.end(), asks_help)) {  // even where an option still wants its value
    io.out << FitToTerminal(app_->help());
    return kExitMeasured;
  }
  std::optional<Error> mistake;
  try {
    app_->parse(std::vector<std::string>(arguments.rbegin(), arguments.rend()));  // CLI11 takes them back to front
  } catch (const CLI::CallForVersion& version) {
    io.out << version.what() << "\n";
    return kExitMeasured;
  } catch (const CLI::RequiredError& missing) {
    mistake = Mistake("missing-option", std::string(missing.what()) + ".");
  } catch (const CLI::ParseError& other) {
    mistake = Mistake("bad-usage", std::string(other.what()) + ".");
  }
  if (std::optional<Error> unknown = UnknownArgument()) mistake = std::move(unknown);  // it explains what is missing
  if (!mistake) return std::nullopt;
  return TellError(*mistake, json_wanted, io);
}

std::optional<Error> CommandLine::UnknownArgument() const {
  const std::vector<std::string> unknown = app_->remaining();
  if (unknown.empty()) return std::nullopt;
  std::vector<std::string> known;
  for (const CLI::Option* each : app_->get_options()) {
    for (const std::string& name : each->get_lnames()) known.push_back("--" + name);
  }
  const auto option = std::find_if(
      unknown.begin(), unknown.end(), [](const std::string& argument) { return argument.starts_with("-"); });
  const std::string& first = option != unknown.end() ? *option : unknown.front();  // its value may be unknown as well
  const std::string word = first.substr(0, first.find('='));
  std::string message = "loftline " + name_ + " knows no " + Quoted(word) + ".";
  if (const std::optional<std::string> nearest = NearestWord(word, known)) message += " Did you mean " + *nearest + "?";
  return Mistake("unknown-option", message);
}

Error CommandLine::Mistake(const std::string& code, const std::string& message) const {
  return {ErrorKind::kUsage, code, message, "Run 'loftline " + name_ + " --help' for what it takes."};
}

}  // namespace loftline
