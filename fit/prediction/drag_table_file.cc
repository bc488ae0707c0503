// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/drag_table_file.h"

#include "core/csv_file.h"
#include "core/letter_case.h"
#include "core/text.h"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

struct Role {
  const char* name;
  const char* short_name;
};
constexpr Role kTime{"time_s", "t_s"}, kReynolds{"reynolds", "re"}, kCoefficient{"drag_coefficient", "cd"},
    kStd{"drag_coefficient_std", "cd_std"};

Error ColumnError(
    const CsvTable& table, const char* code, const std::string& column, std::string message, std::string advice) {
  return {ErrorKind::kInvalidInput, code, std::move(message), std::move(advice), table.file, 0, column};
}

// The columns as the file names them.
struct Columns {
  std::optional<std::string> time, reynolds, coefficient, std;
};

Expected<Columns> FindColumns(const CsvTable& table) {
  Columns columns;
  const std::pair<Role, std::optional<std::string>*> roles[] = {{kTime, &columns.time},
                                                                {kReynolds, &columns.reynolds},
                                                                {kCoefficient, &columns.coefficient},
                                                                {kStd, &columns.std}};
  for (const std::string& column : table.columns) {
    const std::string name = LowerCase(column);
    const auto* role = std::ranges::find_if(
        roles, [&](const auto& each) { return name == each.first.name || name == each.first.short_name; });
    if (role == std::end(roles)) {
      const std::optional<std::string> near =
          NearestWord(name, {kTime.name, kReynolds.name, kCoefficient.name, kStd.name});
      return ColumnError(table,
                         "unknown-column",
                         column,
                         fmt::format("The column {} is not known here.", Quoted(column)),
                         near ? fmt::format("Did you mean \"{}\"?", *near) : "Take it out or correct its name.");
    }
    if (*role->second) {
      return ColumnError(table,
                         "bad-csv",
                         column,
                         fmt::format("The column {} stands twice.", Quoted(role->first.name)),
                         "Take one of the two out.");
    }
    *role->second = column;
  }
  if (columns.time && columns.reynolds) {
    return ColumnError(table,
                       "bad-csv",
                       *columns.reynolds,
                       "The drag is given against time and against the Reynolds number.",
                       "Take one of the two columns out.");
  }
  if (!columns.time && !columns.reynolds) {
    return ColumnError(table,
                       "missing-column",
                       kReynolds.name,
                       "Neither a column \"time_s\" nor a column \"reynolds\" is there.",
                       "Name the column that the drag coefficient is given against.");
  }
  if (!columns.coefficient) {
    return ColumnError(table,
                       "missing-column",
                       kCoefficient.name,
                       fmt::format("The column {} is missing.", Quoted(kCoefficient.name)),
                       "Add it.");
  }
  return columns;
}

Expected<double> NotBelowZero(const CsvTable& table, const CsvRow& row, const std::string& column, const char* what) {
  Expected<double> number = table.Number(row, column);
  if (number && !(*number >= 0.0)) {
    return table.ErrorAt(
        row, column, fmt::format("A {} of {:g} is impossible.", what, *number), "Give it as zero or more.");
  }
  return number;
}

Expected<double> NextPlace(const CsvTable& table,
                           const CsvRow& row,
                           const Columns& columns,
                           std::optional<double> last) {
  const std::string& column = columns.time ? *columns.time : *columns.reynolds;
  Expected<double> place = table.Number(row, column);
  if (!place) return place;
  if (columns.reynolds && !(*place > 0.0)) {
    return table.ErrorAt(row,
                         column,
                         fmt::format("A Reynolds number of {:g} has no place in a table.", *place),
                         "Leave the row out: below the table its first coefficient holds.");
  }
  if (last && !(*place > *last)) {
    return table.ErrorAt(row,
                         column,
                         fmt::format("{:g} does not come after {:g} in the row before.", *place, *last),
                         "Sort the rows, each place once.");
  }
  return place;
}

Expected<DragTableFile> FromCsv(const CsvTable& table) {
  const Expected<Columns> columns = FindColumns(table);
  if (!columns) return columns.error();
  std::vector<double> places;
  std::vector<double> coefficients;
  std::vector<double> stds;
  for (const CsvRow& row : table.rows) {
    const Expected<double> place =
        NextPlace(table, row, *columns, places.empty() ? std::nullopt : std::optional(places.back()));
    if (!place) return place.error();
    places.push_back(*place);
    const Expected<double> coefficient = NotBelowZero(table, row, *columns->coefficient, "drag coefficient");
    if (!coefficient) return coefficient.error();
    coefficients.push_back(*coefficient);
    if (!columns->std) continue;
    const Expected<double> std = NotBelowZero(table, row, *columns->std, "standard uncertainty");
    if (!std) return std.error();
    stds.push_back(*std);
  }
  const DragAgainst against = columns->time ? DragAgainst::kTime : DragAgainst::kReynolds;
  return DragTableFile{table.file, DragTable(against, places, std::move(coefficients)), std::move(stds)};
}

}  // namespace

Expected<DragTableFile> ReadDragTable(const std::filesystem::path& path) {
  const Expected<CsvTable> table = ReadCsv(path, CsvRules{{}, {}, true});
  if (!table) return table.error();
  return FromCsv(*table);
}

Expected<DragTableFile> ParseDragTable(const std::string& text, const std::string& file_name) {
  const Expected<CsvTable> table = ParseCsv(text, file_name, CsvRules{{}, {}, true});
  if (!table) return table.error();
  return FromCsv(*table);
}

}  // namespace loftline
