// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/run_control.h"

#include <filesystem>
#include <string>

#include <nlohmann/json.hpp>

namespace loftline {

// What is asked of a simulator's table: which measured flights it stands beside, and how it is to be read.
struct CheckAsked {
  std::string design, launch;  // only the flights of that design, or that one launch; empty: all
  std::string columns;         // as --columns of 'loftline validate'; empty: found by their names
  std::string align;           // as --align; empty: launch
  bool launch_as_measured = false;
};

// Compares the measured flights of the day in FOLDER with the simulator's table CSV and keeps it as simulator.csv,
// with check/validation.html, check/validation.json and what the day's own page says of them, for ReadCheck. Where
// nothing can be compared, what was there stays. Errors: those of ReadSummary and ValidateMany; "no-flights" where no
// such flight was measured; "bad-columns", "bad-value"; "cannot-write"; "cancelled".
Status CheckSimulator(const std::filesystem::path& folder,
                      const std::string& csv,
                      const CheckAsked& asked,
                      const RunControl& control);

// The simulator's table that was checked last. Errors: "no-file" where there is none yet.
Expected<std::string> ReadSimulator(const std::filesystem::path& folder);

// The same again as last asked, with the flights that are measured now. A check that cannot be had any more is taken
// away; the simulator's table stays.
Status RenewCheck(const std::filesystem::path& folder);

// What CheckSimulator found:
//   {"title", "headline", "asked": {"design", "launch", "columns", "align", "launch_as_measured"},
//    "sentences": [..], "findings": [finding],
//    "columns": [{"role", "column", "unit", "unit_assumed"}],
//    "flights": [{"clip", "design", "launch", "agreement": "agrees|disagrees|too-uncertain", "sentence", "mend"}],
//    "left_out": [{"design", "launch", "message", "advice"}]}
// null where there is none, or one of another version of Loftline.
nlohmann::ordered_json ReadCheck(const std::filesystem::path& folder);

}  // namespace loftline
