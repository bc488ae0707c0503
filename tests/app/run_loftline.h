// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline::test {

struct Ran {
  int exit_status = -1;
  std::string out, err;

  nlohmann::json Json() const { return nlohmann::json::parse(out); }  // throws where OUT is no JSON and nothing else
};

// Runs the built program as a script would: both outputs into files.
Ran RunLoftline(const std::vector<std::string>& arguments);
// The same on a pseudo-terminal, where OUT holds all that was shown; KILL_AFTER_S sends SIGINT after so many seconds.
Ran RunLoftlineOnTerminal(const std::vector<std::string>& arguments, double interrupt_after_s = 0.0);

// Names of all entries below FOLDER, relative and sorted, hidden ones too.
std::vector<std::string> EntriesBelow(const std::filesystem::path& folder);

}  // namespace loftline::test
