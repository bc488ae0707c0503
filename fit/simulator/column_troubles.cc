// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/column_troubles.h"

#include "core/text.h"
#include "fit/simulator/column_values.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

using enum ColumnRole;

constexpr std::string_view NameInWords(ColumnRole role) {
  switch (role) {
    case kTime:
      return "the time";
    case kX:
      return "the horizontal distance";
    case kSide:
      return "the second horizontal axis";
    case kY:
      return "the height";
    case kVx:
      return "the horizontal speed";
    case kVside:
      return "the speed along the second horizontal axis";
    case kVy:
      return "the vertical speed";
    case kSpeed:
      return "the speed";
    default:
      return "a standard uncertainty";
  }
}

}  // namespace

std::string NameOfColumn(const TableHeader& header, std::size_t index) {
  return header.names[index].empty() ? fmt::format("column {}", index + 1) : header.names[index];
}

std::string_view SiUnitName(Dimension dimension) {
  return dimension == Dimension::kTime ? "s" : dimension == Dimension::kLength ? "m" : "m/s";
}

Error ColumnTroubles::At(const std::string& code,
                         const std::string& column,
                         const std::string& message,
                         const std::string& advice) const {
  return {ErrorKind::kInvalidInput, code, message, advice, table_.file, header_.line, column};
}

std::string ColumnTroubles::AllNames() const {
  std::string names;
  const bool any = std::ranges::any_of(header_.names, [](const std::string& name) { return !name.empty(); });
  for (std::size_t i = 0; any && i < header_.names.size(); ++i) {
    const bool nameless = header_.names[i].empty();
    if (nameless && IsConstantColumn(table_, i)) continue;  // an empty one
    names += (names.empty() ? "" : ", ") +
             (nameless ? NameOfColumn(header_, i) + " without a name" : Quoted(header_.names[i]));
  }
  return names;
}

Error ColumnTroubles::Unknown(const std::string& name) const {
  const std::optional<std::string> near = NearestWord(name, header_.names);
  return At("missing-column",
            name,
            fmt::format("There is no column {}, which --columns names.", Quoted(name)),
            near ? fmt::format("Did you mean {}?", Quoted(*near))
            : AllNames().empty()
                ? fmt::format("The columns have no names here; give their numbers, 1 to {}.", table_.width)
                : fmt::format("There are: {}.", AllNames()));
}

Error ColumnTroubles::Ambiguous(ColumnRole role, const std::vector<std::size_t>& columns) const {
  std::string names;
  bool alike = false;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    names += i == 0 ? "" : i + 1 == columns.size() ? " and " : ", ";
    names += fmt::format("{} (column {})", Quoted(NameOfColumn(header_, columns[i])), columns[i] + 1);
    alike = alike || (i > 0 && header_.names[columns[i]] == header_.names[columns[0]]);
  }
  const std::size_t first = columns.front();
  const std::string example = alike ? std::to_string(first + 1) : header_.names[first];
  const bool quoted = example.find_first_of(", ([") != std::string::npos;
  return At("ambiguous-column",
            header_.names[first],
            fmt::format("{} could each be {}.", names, NameInWords(role)),
            fmt::format("Say which one is meant: --columns {0}{1}={2}{0}",
                        quoted ? "'" : "",
                        ColumnRoleName(role),
                        quoted ? "\"" + example + "\"" : example));
}

Error ColumnTroubles::TakenTwice(std::size_t index) const {
  return At("bad-columns",
            NameOfColumn(header_, index),
            fmt::format("The column {} is to be two things at once.", Quoted(NameOfColumn(header_, index))),
            "Name another one in --columns.");
}

Error ColumnTroubles::BadUnit(ColumnRole role, std::size_t index, const std::string& written) const {
  const std::string& name = header_.names[index];
  return At("bad-unit",
            NameOfColumn(header_, index),
            fmt::format("The unit {} of {} ({}) is not understood.",
                        Quoted(written),
                        Quoted(NameOfColumn(header_, index)),
                        NameInWords(role)),
            fmt::format("Write {} into the header, or give it: --columns '{}=\"{} [{}]\"'",
                        HeaderUnitsUnderstood(DimensionOf(role)),
                        ColumnRoleName(role),
                        name.empty() ? std::to_string(index + 1) : name,
                        SiUnitName(DimensionOf(role))));
}

Error ColumnTroubles::TwoUnits(ColumnRole role,
                               std::size_t index,
                               const std::string& in_name,
                               const std::string& in_row) const {
  return At(
      "bad-unit",
      NameOfColumn(header_, index),
      fmt::format("{} says {}, but the row of units says {}.", Quoted(NameOfColumn(header_, index)), in_name, in_row),
      fmt::format("Mend one of the two, or say which holds: --columns '{}=\"{} [{}]\"'",
                  ColumnRoleName(role),
                  NameOfColumn(header_, index),
                  in_row));
}

Error ColumnTroubles::Missing(ColumnRole role) const {
  std::string message = fmt::format("No column is named as {}.", NameInWords(role));
  std::string advice =
      fmt::format("Say which one it is: --columns {}=...; the table has {}.", ColumnRoleName(role), AllNames());
  if (AllNames().empty() && table_.misfit) {
    message = fmt::format(
        "The row of names has {} cells, but the rows of numbers have {}.", table_.misfit->cells.size(), table_.width);
    advice = table_.separator == ',' && table_.width == 2 * table_.misfit->cells.size()
                 ? "Are these decimal commas? Then part the cells by ';', or write decimal points."
                 : "Put names that hold the separator in quotes, or give the columns by number, counted from 1: "
                   "--columns time=...,x=...,y=...";
  } else if (AllNames().empty()) {
    message = "There is no row of names above the numbers.";
    advice = "Add one (time,x,y), or give the columns by number: --columns time=1,x=2,y=3";
  }
  Error error = At("missing-column", std::string(ColumnRoleName(role)), message, advice);
  if (error.line == 0) error.line = table_.misfit ? table_.misfit->line : table_.rows.front().line;
  return error;
}

}  // namespace loftline
