// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/day_store.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

// What is wrong with one cell, or with a column's name where there is no row.
struct CellProblem {
  std::optional<std::size_t> row;  // of the grid
  std::string column;
  std::string message, advice;
};

// Everything that ReadDayTable has against the day's table, by its cells; files are named as the page names them. A
// table without rows has no problems.
Expected<std::vector<CellProblem>> FindProblems(const DayStore& store, const StoredDay& day);

}  // namespace loftline
