// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// A CSV file as RFC 4180 has it (quotes, commas and line ends inside quotes, CRLF or LF), with a header row, in UTF-8.
// Lines that begin with '#' and lines without content are passed over, a byte-order mark is dropped, unquoted cells
// lose the spaces around them, and so does the table the nameless empty columns that spreadsheets leave at its right.
// Line numbers are those of the file. Spreadsheets in countries with a decimal comma part cells by ';': a header with
// ';' or tabs and no comma is read that way, and then numbers may have a decimal comma.
struct CsvRow {
  int line = 0;
  std::vector<std::string> cells;  // as many as there are columns
};

class CsvTable {
 public:
  std::string file;
  std::vector<std::string> columns;
  std::vector<CsvRow> rows;
  bool decimal_comma = false;

  std::optional<std::size_t> Column(std::string_view name) const;
  // The cell as text; an absent column gives "".
  const std::string& Cell(const CsvRow& row, std::string_view column) const;
  // The cell as a finite number. Errors: "bad-value", naming file, line and column. NumberOrNothing takes an empty cell
  // or an absent column as nothing.
  Expected<double> Number(const CsvRow& row, std::string_view column) const;
  Expected<std::optional<double>> NumberOrNothing(const CsvRow& row, std::string_view column) const;
  Error ErrorAt(const CsvRow& row,
                std::string_view column,
                const std::string& message,
                const std::string& advice) const;
};

struct CsvRules {
  std::vector<std::string> required;  // a missing one is the error "missing-column"
  std::vector<std::string> optional;
  bool others_allowed = false;  // otherwise any further column is the error "unknown-column"
};

// Errors: "cannot-read", "empty-table", "bad-csv" (unequal cell counts, open quote), and those of the rules.
Expected<CsvTable> ReadCsv(const std::filesystem::path& path, const CsvRules& rules);
Expected<CsvTable> ParseCsv(const std::string& text, const std::string& file_name, const CsvRules& rules);

// One line of CSV without the line end, quoting the cells that need it.
std::string CsvLine(const std::vector<std::string>& cells);

}  // namespace loftline
