// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/units.h"

#include <span>
#include <string>
#include <string_view>

namespace loftline {

// One way of writing a unit: SI value = number * factor + offset.
struct Unit {
  std::string_view name;
  Dimension dimension;
  double factor;
  double offset = 0.0;
  bool any_case = true;  // false where case decides between prefixes: mm is not Mm
};

std::span<const Unit> AllUnits();

// The unit NAME of DIMENSION; null when there is none. "degC", "deg", "um": the table knows no other letters than
// ASCII.
const Unit* FindUnit(std::string_view name, Dimension dimension);

// For messages: "a length", "m, mm, cm, ...", "10 m".
std::string_view DimensionName(Dimension dimension);
std::string UnitNames(Dimension dimension);
std::string_view ExampleOf(Dimension dimension);

}  // namespace loftline
