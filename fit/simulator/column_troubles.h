// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/loose_table.h"
#include "fit/simulator/simulator_columns.h"
#include "fit/simulator/table_header.h"

#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// The name of column INDEX as the table has it, else "column 2".
std::string NameOfColumn(const TableHeader& header, std::size_t index);

// "m", "s" or "m/s": what is assumed where no unit stands.
std::string_view SiUnitName(Dimension dimension);

// What can be wrong about a table's columns, each an error (kInvalidInput) with file, line, column and what to do.
class ColumnTroubles {
 public:
  ColumnTroubles(const LooseTable& table, const TableHeader& header) : table_(table), header_(header) {}

  Error Missing(ColumnRole role) const;          // nothing is named so
  Error Unknown(const std::string& name) const;  // which --columns names
  Error Ambiguous(ColumnRole role, const std::vector<std::size_t>& columns) const;
  Error TakenTwice(std::size_t index) const;
  Error BadUnit(ColumnRole role, std::size_t index, const std::string& written) const;
  // The column's name says one unit and the row of units another.
  Error TwoUnits(ColumnRole role, std::size_t index, const std::string& in_name, const std::string& in_row) const;

 private:
  Error At(const std::string& code,
           const std::string& column,
           const std::string& message,
           const std::string& advice) const;
  std::string AllNames() const;

  const LooseTable& table_;
  const TableHeader& header_;
};

}  // namespace loftline
