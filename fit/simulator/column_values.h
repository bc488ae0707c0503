// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/loose_table.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

// What the numbers of a column tell of what it is. INDEX counts the columns from 0.

// The numbers, one for each row; NaN where a cell is none.
std::vector<double> ColumnValues(const LooseTable& table, std::size_t index);

bool IsConstantColumn(const LooseTable& table, std::size_t index);

// The same quantity from two origins.
bool DifferByAConstant(const LooseTable& table, std::size_t one, std::size_t other);

// The coefficient of t^2 in the parabola through the column that fits best, times two: what falls freely has minus the
// gravity. In the column's unit over the square of the time column's; zero where the rows do not tell.
double MeanAcceleration(const LooseTable& table, std::size_t time, std::size_t index);

// "1,272" below "980": a sign between thousands, which would be read as a decimal mark. The first such cell, and a
// larger number of the same column that has no mark.
struct PartedThousands {
  int line = 0;
  std::string cell, plain;
};
std::optional<PartedThousands> FindPartedThousands(const LooseTable& table, std::size_t index);

}  // namespace loftline
