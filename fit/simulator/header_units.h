// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/units.h"

#include <optional>
#include <string>
#include <string_view>

namespace loftline {

// A unit of a column, as understood.
struct HeaderUnit {
  std::string name;     // "ft/s"
  double factor = 1.0;  // SI value = number * factor
};

// The unit that TEXT, from a table's header, means: whatever core/units.h knows of length, time and speed, whole words
// of them, and a speed as any length over any time ("ft/sec", "km per hour", "m s^-1", "m·s⁻¹"). Nothing when it means
// none of DIMENSION.
std::optional<HeaderUnit> UnitFromHeader(std::string_view text, Dimension dimension);

// For messages: "m, cm, mm, km, ft, in or yd".
std::string HeaderUnitsUnderstood(Dimension dimension);

}  // namespace loftline
