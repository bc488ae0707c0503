// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_grid.h"

#include "core/csv_file.h"
#include "core/csv_parser.h"
#include "core/text.h"

#include <algorithm>
#include <set>

#include <fmt/format.h>

namespace loftline {
namespace {

// Beyond that a table belongs to a spreadsheet and to 'loftline batch'.
constexpr std::size_t kMostRows = 2000, kMostColumns = 60, kMostCellBytes = 1000, kMostNameBytes = 100;

const std::vector<std::string> kRequired = {"clip", "survey", "design", "launch", "mass_g", "diameter_mm"};

Error Bad(const std::string& message, const std::string& advice) {
  return {ErrorKind::kUsage, "bad-value", message, advice};
}

bool IsOneLineOfText(const std::string& cell) {
  return !FirstBadUtf8(cell) && std::ranges::none_of(cell, [](char letter) {
    return static_cast<unsigned char>(letter) < 0x20 || letter == 0x7F;
  });
}

bool IsBlank(const std::vector<std::string>& row) {
  return std::ranges::all_of(row, [](const std::string& cell) { return Trimmed(cell).empty(); });
}

Status CheckColumns(const std::vector<std::string>& columns) {
  if (columns.size() > kMostColumns) {
    return Bad(fmt::format("The table has {} columns.", columns.size()),
               fmt::format("Keep to {}; measure wider tables with 'loftline batch'.", kMostColumns));
  }
  std::set<std::string> names;
  for (const std::string& name : columns) {
    if (name.empty() || name.size() > kMostNameBytes || Trimmed(name) != name || !IsOneLineOfText(name)) {
      return Bad(fmt::format("{} cannot be the name of a column.", Quoted(name)),
                 "Give every column a short name, without spaces at its ends.");
    }
    if (!names.insert(name).second) {
      return Bad(fmt::format("The column {} stands twice.", Quoted(name)), "Give every column a name of its own.");
    }
  }
  for (const std::string& name : kRequired) {
    if (!names.contains(name)) {
      return Bad(fmt::format("The column {} is missing.", Quoted(name)), "Every day table has it; it may be empty.");
    }
  }
  return Done{};
}

// Whether TEXT is a number with a decimal comma and nothing else.
bool HasDecimalComma(std::string_view text) {
  const std::size_t comma = text.find(',');
  if (comma == std::string_view::npos || comma + 1 == text.size()) return false;
  const std::size_t first = text.starts_with('-') || text.starts_with('+') ? 1 : 0;
  if (first == comma) return false;
  for (std::size_t i = first; i < text.size(); ++i) {
    if (i != comma && (text[i] < '0' || text[i] > '9')) return false;
  }
  return true;
}

std::string Tidied(std::string cell, bool decimal_comma) {
  std::ranges::replace_if(
      cell, [](char letter) { return static_cast<unsigned char>(letter) < 0x20 || letter == 0x7F; }, ' ');
  cell = std::string(Trimmed(cell));
  if (decimal_comma && HasDecimalComma(cell)) cell[cell.find(',')] = '.';
  return cell;
}

GridReading GridOf(const CsvTable& table) {
  GridReading reading;
  for (const std::string& column : table.columns) reading.grid.columns.push_back(Tidied(column, false));
  std::vector<std::string> missing;
  for (const std::string& name : kRequired) {
    if (!std::ranges::count(reading.grid.columns, name)) missing.push_back(name);
  }
  reading.grid.columns.insert(reading.grid.columns.end(), missing.begin(), missing.end());
  for (const CsvRow& row : table.rows) {
    std::vector<std::string> cells;
    for (const std::string& cell : row.cells) cells.push_back(Tidied(cell, table.decimal_comma));
    cells.resize(reading.grid.columns.size());
    reading.grid.rows.push_back(std::move(cells));
    reading.lines.push_back(row.line);
  }
  return reading;
}

}  // namespace

DayGrid NewDayGrid() {
  DayGrid grid;
  grid.columns = kRequired;
  grid.columns.insert(grid.columns.end(), {"skip", "note"});
  return grid;
}

Status CheckGrid(const DayGrid& grid) {
  if (Status status = CheckColumns(grid.columns); !status) return status;
  if (grid.rows.size() > kMostRows) {
    return Bad(fmt::format("The table has {} rows.", grid.rows.size()),
               fmt::format("Keep to {}; measure longer tables with 'loftline batch'.", kMostRows));
  }
  for (std::size_t i = 0; i < grid.rows.size(); ++i) {
    const std::vector<std::string>& row = grid.rows[i];
    if (row.size() != grid.columns.size()) {
      return Bad(fmt::format("Row {} has {} cells, but there are {} columns.", i + 1, row.size(), grid.columns.size()),
                 "Load the page again.");
    }
    for (std::size_t j = 0; j < row.size(); ++j) {
      if (row[j].size() <= kMostCellBytes && IsOneLineOfText(row[j])) continue;
      return Bad(fmt::format("What stands in row {} under {} is too long, or no plain text.", i + 1, grid.columns[j]),
                 "Write one short line.");
    }
  }
  return Done{};
}

std::string GridAsCsv(const DayGrid& grid) {
  std::string text = CsvLine(grid.columns) + "\n";
  for (const std::vector<std::string>& row : grid.rows) {
    if (!IsBlank(row)) text += CsvLine(row) + "\n";
  }
  return text;
}

Expected<GridReading> ReadGrid(std::string_view bytes, const std::string& file_name) {
  const Expected<CsvTable> table = ParseCsv(std::string(bytes), file_name, {{}, {}, true});
  Expected<GridReading> reading = table ? Expected<GridReading>(GridOf(*table)) : Expected<GridReading>(table.error());
  if (!table && table.error().code == "empty-table") {
    // Without a row it is no table for ParseCsv, but a fine beginning here.
    const Expected<std::vector<CsvRow>> records = ParseCsvRecords(bytes, file_name, ',');
    if (records && records->size() == 1 && std::ranges::count(records->front().cells, "clip") > 0) {
      reading = GridOf({file_name, records->front().cells, {}, false});
    }
  }
  if (!reading) return reading;
  if (Status status = CheckGrid(reading->grid); !status) return status.error();
  return reading;
}

}  // namespace loftline
