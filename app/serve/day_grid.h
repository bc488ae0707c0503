// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// A day table as a person edits it: half-filled, with mistakes, without a row yet. What it means is for ReadDayTable
// (study/day_table.h) to say.
struct DayGrid {
  std::vector<std::string> columns;            // no two alike, none empty; those that a day table must have among them
  std::vector<std::vector<std::string>> rows;  // each as long as COLUMNS; cells are single lines of UTF-8
  bool operator==(const DayGrid&) const = default;
};

// What a new day begins with.
DayGrid NewDayGrid();

// Whether it keeps the rules above, and is not beyond what a page can show. Errors: "bad-value" (kUsage).
Status CheckGrid(const DayGrid& grid);

// RFC 4180 with a header, LF at the ends of lines. Row I stands in line I + 2. Rows without content are left out, as
// no reader of CSV keeps them.
std::string GridAsCsv(const DayGrid& grid);

// The grid of a file that GridAsCsv or a spreadsheet wrote; LINES holds the line of each row in it.
struct GridReading {
  DayGrid grid;
  std::vector<int> lines;
};
// Columns that a day table must have and that are missing are added at the right; line ends inside cells become
// spaces; where cells are parted by ';' and numbers have a comma, the numbers get a point. Errors: those of ParseCsv
// for text that is no table, "bad-value" as of CheckGrid.
Expected<GridReading> ReadGrid(std::string_view bytes, const std::string& file_name);

}  // namespace loftline
