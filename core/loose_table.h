// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/csv_file.h"
#include "core/expected.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// A table of numbers as some other program wrote it, of which nothing is known before. Cells are parted by tabs, ';',
// ',', '|' or blanks: by whichever makes the most rows of numbers. Decimal points and commas, quotes, a byte-order mark
// and any line ends are understood; lines that begin with one of # % ! * or // (or ';' where it does not part cells),
// empty lines and titles are passed over. Text that is not UTF-8 is taken for Latin-1, as only names can be touched by
// that. Our own tables are read by core/csv_file.h, which is strict.
struct LooseTable {
  std::string file;
  std::size_t width = 0;  // cells of each row
  char separator = ',';   // '\t', ';', ',', '|' or ' '
  // Rows of as many cells above the numbers, the nearest first; one of them will hold the columns' names, and one below
  // that perhaps their units. A comment sign before them is taken off.
  std::vector<CsvRow> above;
  std::vector<CsvRow> rows;  // of numbers, for the most part; each WIDTH cells
  // The nearest line above the numbers that is no comment and has another number of cells.
  std::optional<CsvRow> misfit;
};

// The bytes of such a file. Errors (kInvalidInput): "cannot-read".
Expected<std::string> ReadLooseFile(const std::filesystem::path& path);

// Errors (kInvalidInput): "empty-table" (no row of numbers at all); "bad-csv" with the line: UTF-16, bytes that are no
// text, a row with other than WIDTH cells.
Expected<LooseTable> ParseLooseTable(const std::string& text, const std::string& file_name);

// One cell of it.
struct LooseCell {
  enum class Kind { kNumber, kMissing, kText };
  Kind kind = Kind::kText;
  double value = 0.0;
  double last_digit = 0.0;  // what its last digit is worth: 0.01 of "1.50", 10 of "3e1"
  char mark = '\0';         // the decimal mark that stands in it, if any
};

// Numbers such as 1.5, 1,5, -2e-3, 1.0D+02, with plain or typographic minus. Missing: nothing, "NaN", "n/a", "-" and
// their like. All else is text: also numbers with signs between thousands, and infinities.
LooseCell ReadLooseCell(std::string_view cell);

}  // namespace loftline
