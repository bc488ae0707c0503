// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/loose_table.h"
#include "fit/simulator/column_names.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

// What a table's header says of each column, and a row of units below the names (or above them, where no name has a
// unit), as far as there is one. All lists are as long as the table is wide.
struct TableHeader {
  int line = 0;  // 0: there is none
  std::vector<std::string> names;
  std::vector<std::string> units;  // "" where the row of units has none
  std::vector<std::optional<NamedColumn>> meanings;
};

// The row nearest above the numbers that names a time and a height; where none does, the nearest at all.
TableHeader FindTableHeader(const LooseTable& table);

}  // namespace loftline
