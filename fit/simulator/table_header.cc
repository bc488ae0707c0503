// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/table_header.h"

#include "core/unit_table.h"

#include <algorithm>

namespace loftline {
namespace {

bool IsUnit(std::string_view cell) {
  const std::optional<BracketedName> bracketed = TakeBracket(cell);
  const std::string_view text = bracketed && bracketed->name.empty() ? std::string_view(bracketed->bracket) : cell;
  for (const Dimension dimension : {Dimension::kTime, Dimension::kLength, Dimension::kSpeed}) {
    if (UnitFromHeader(text, dimension)) return true;
  }
  return FindUnit(text, Dimension::kMass) != nullptr || FindUnit(text, Dimension::kAngle) != nullptr;
}

// A row below the names with nothing but units. Half of them need to be known: tables hold other things than we use.
bool IsUnitRow(const CsvRow& row) {
  std::size_t filled = 0, units = 0;
  for (const std::string& cell : row.cells) {
    filled += cell.empty() ? 0 : 1;
    units += IsUnit(cell) ? 1 : 0;
  }
  return units >= 2 && 2 * units >= filled;
}

std::string UnitText(const std::string& cell) {
  const std::optional<BracketedName> bracketed = TakeBracket(cell);
  if (cell == "-" || cell == "--") return "";
  return bracketed && bracketed->name.empty() ? bracketed->bracket : cell;
}

TableHeader HeaderOf(const CsvRow& row, const CsvRow* units) {
  TableHeader header{.line = row.line, .names = row.cells, .units = std::vector<std::string>(row.cells.size())};
  for (std::size_t i = 0; units != nullptr && i < row.cells.size(); ++i) header.units[i] = UnitText(units->cells[i]);
  for (const std::string& name : row.cells) header.meanings.push_back(UnderstandHeader(name));
  return header;
}

bool HasUnits(const TableHeader& header) {
  return std::ranges::any_of(header.meanings, [](const auto& column) { return column && column->unit; });
}

bool Says(const TableHeader& header, ColumnMeaning meaning) {
  return std::ranges::any_of(
      header.meanings, [&](const auto& column) { return column && !column->is_std && column->meaning == meaning; });
}

}  // namespace

TableHeader FindTableHeader(const LooseTable& table) {
  std::optional<TableHeader> nearest;
  for (std::size_t i = 0; i < table.above.size(); ++i) {
    const bool units = i + 1 < table.above.size() && IsUnitRow(table.above[i]);
    TableHeader header = units ? HeaderOf(table.above[i + 1], &table.above[i]) : HeaderOf(table.above[i], nullptr);
    const bool above = !units && i + 1 < table.above.size() && IsUnitRow(table.above[i + 1]);
    if (above && !HasUnits(header)) header = HeaderOf(table.above[i], &table.above[i + 1]);
    const bool height = Says(header, ColumnMeaning::kHeight) || Says(header, ColumnMeaning::kPlainY) ||
                        Says(header, ColumnMeaning::kPlainZ);
    if (height && Says(header, ColumnMeaning::kTime)) return header;
    if (!nearest) nearest = std::move(header);
    if (units) ++i;
  }
  if (nearest) return *nearest;
  TableHeader none{.units = std::vector<std::string>(table.width)};
  none.names.resize(table.width);
  none.meanings.resize(table.width);
  return none;
}

}  // namespace loftline
