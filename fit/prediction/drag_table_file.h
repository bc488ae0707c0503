// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/drag_table.h"

#include <filesystem>
#include <string>
#include <vector>

namespace loftline {

// A drag table as somebody wrote it (docs/formats.md, "Drag table").
struct DragTableFile {
  std::string file;
  DragTable table;
  std::vector<double> stds;  // standard uncertainties of the coefficients; empty: the file has none
};

// Columns: time_s (or t_s) or reynolds (or re), and drag_coefficient (or cd), in any letter case; drag_coefficient_std
// (or cd_std) may be there. Errors: those of ReadCsv ("cannot-read", "bad-csv", "empty-table"), "missing-column",
// "unknown-column", "bad-value" with line and column: a cell that is no number, a time or Reynolds number that does not
// rise, a Reynolds number that is not above zero, a coefficient or uncertainty below zero.
Expected<DragTableFile> ReadDragTable(const std::filesystem::path& path);
Expected<DragTableFile> ParseDragTable(const std::string& text, const std::string& file_name);

}  // namespace loftline
