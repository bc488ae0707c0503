// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/validate_many.h"

#include <filesystem>
#include <string_view>
#include <vector>

namespace loftline {

// Reads a table of measured flights and their simulations (docs/formats.md, "Pairs"): columns result and simulator,
// and where wanted columns, align, launch_time_s, launch, simulator_std, note. Paths are relative to the table. An
// empty cell, and an absent column, mean what USUAL says; so does an empty simulator where USUAL names one.
// Errors: those of ReadCsv; "bad-value" and those of ParseColumnChoices, with line and column.
Expected<std::vector<FlightToValidate>> ReadValidationTable(const std::filesystem::path& path,
                                                            const FlightToValidate& usual);

// "launch", "apogee", "none" or "fit"; "own" or "measured" (true); in any letter case. Errors: "bad-value".
Expected<Align> ParseAlign(std::string_view text);
Expected<bool> ParseLaunchAsMeasured(std::string_view text);

}  // namespace loftline
