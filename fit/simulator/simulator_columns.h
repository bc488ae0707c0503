// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/loose_table.h"
#include "core/units.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// What the columns of a simulator's table are taken for. SIDE is the second horizontal axis of a table with three.
enum class ColumnRole {
  kTime,
  kX,
  kSide,
  kY,
  kVx,
  kVside,
  kVy,
  kSpeed,
  kXStd,
  kSideStd,
  kYStd,
  kVxStd,
  kVsideStd,
  kVyStd,
  kSpeedStd
};
inline constexpr std::size_t kColumnRoles = 15;
inline constexpr std::array<std::string_view, kColumnRoles> kColumnRoleNames = {"time",
                                                                                "x",
                                                                                "side",
                                                                                "y",
                                                                                "vx",
                                                                                "vside",
                                                                                "vy",
                                                                                "speed",
                                                                                "x_std",
                                                                                "side_std",
                                                                                "y_std",
                                                                                "vx_std",
                                                                                "vside_std",
                                                                                "vy_std",
                                                                                "speed_std"};
constexpr std::string_view ColumnRoleName(ColumnRole role) {
  return kColumnRoleNames[static_cast<std::size_t>(role)];
}
Dimension DimensionOf(ColumnRole role);

// One choice of the user's: "y=Height", "y=Height [ft]", "vx=none".
struct ColumnChoice {
  ColumnRole role = ColumnRole::kTime;
  std::string column;               // as the table names it, or its number counted from 1; "-" before turns the axis
                                    // round; empty: none
  std::optional<std::string> unit;  // where it is not as the header says
};

// "time=t,x=Downrange,y=\"Height, m\",vx=none". Errors: "bad-columns" (kInvalidInput).
Expected<std::vector<ColumnChoice>> ParseColumnChoices(std::string_view text);

// A column of the table and what it is to become.
struct UsedColumn {
  std::size_t index = 0;
  std::string name;  // as the table has it; "column 2" where it has no names
  std::string unit;
  double factor = 1.0;  // SI value = number * factor; below zero: turned round
  bool unit_assumed = false;
};

// By role; nothing where the table does not tell.
struct ColumnPlan {
  int header_line = 0;
  std::array<std::optional<UsedColumn>, kColumnRoles> columns;
  std::vector<std::string> passed_over;  // names of the other columns

  const std::optional<UsedColumn>& operator[](ColumnRole role) const { return columns[static_cast<std::size_t>(role)]; }
  std::optional<UsedColumn>& operator[](ColumnRole role) { return columns[static_cast<std::size_t>(role)]; }
};

// Finds the columns by CHOICES, and what they leave open by the names in the table's header:
// - the height is the column named so, else one above the sea, else z, else y (where the numbers say that y falls and
//   z does not, neither is taken); x is the horizontal distance, or y where z is the height and there is no x;
// - where something else is the height, y is the second horizontal axis (but where z stays the same all the while and y
//   does not, y is the height); vy and vz go with y and z;
// - a speed without direction is used only where a part of the velocity is missing.
// Errors (kInvalidInput) that name the candidates and say what to give as --columns: "missing-column",
// "ambiguous-column", "bad-unit", "bad-columns".
Expected<ColumnPlan> PlanColumns(const LooseTable& table, const std::vector<ColumnChoice>& choices);

}  // namespace loftline
