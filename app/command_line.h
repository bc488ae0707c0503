// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "core/error.h"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace loftline {

// The options of one command. Every command has --help (with an example), --version and --json.
class CommandLine {
 public:
  CommandLine(const std::string& name, const std::string& purpose, const std::string& examples);
  ~CommandLine();
  CommandLine(const CommandLine&) = delete;
  CommandLine& operator=(const CommandLine&) = delete;

  void Argument(const std::string& name, std::string* value, const std::string& help);
  void Required(const std::string& name, std::string* value, const std::string& help);
  void Several(const std::string& name, std::vector<std::string>* values, const std::string& help);  // one or more
  void SeveralOrNone(const std::string& name, std::vector<std::string>* values, const std::string& help);
  void Optional(const std::string& name, std::optional<std::string>* value, const std::string& help);
  void Repeated(const std::string& name, std::vector<std::string>* values, const std::string& help);
  void Number(const std::string& name, int* value, const std::string& help);
  void Flag(const std::string& name, bool* value, const std::string& help);
  void Group(const std::string& name) { group_ = name; }  // of the options that follow, for --help

  // Reads the arguments after the command's name. Nothing: go on. Otherwise the command is over, with this exit status:
  // help or version was printed to OUT, or a mistake was told.
  std::optional<int> Parse(std::span<const std::string> arguments, Streams io);
  bool json() const { return json_; }

 private:
  Error Mistake(const std::string& code, const std::string& message) const;
  std::optional<Error> UnknownArgument() const;

  std::string name_;
  std::unique_ptr<CLI::App> app_;
  std::string group_;
  bool json_ = false;
};

}  // namespace loftline
