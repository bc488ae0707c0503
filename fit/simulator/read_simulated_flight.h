// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/simulator/simulated_flight.h"
#include "fit/simulator/simulator_columns.h"

#include <filesystem>
#include <string>
#include <vector>

namespace loftline {

// Reads a simulator's flight from its table, whatever program wrote it (docs/formats.md, "Simulator's table"; what kind
// of text is understood: core/loose_table.h; which columns: simulator_columns.h). The horizontal distance of a table
// with two horizontal axes is that from its first row, along the ground. Rows with a gap at the beginning and the end
// are left out, and so is a row that stands twice.
// Errors (kInvalidInput), with file, line and column: those of ReadLooseFile, ParseLooseTable and PlanColumns;
// "bad-value" (no number, a gap between rows without one, numbers with signs between thousands), "mixed-decimals",
// "time-not-rising", "too-few-rows" (fewer than three).
Expected<SimulatedFlight> ReadSimulatedFlight(const std::filesystem::path& path,
                                              const std::vector<ColumnChoice>& choices = {});
Expected<SimulatedFlight> ParseSimulatedFlight(const std::string& text,
                                               const std::string& file_name,
                                               const std::vector<ColumnChoice>& choices = {});

}  // namespace loftline
