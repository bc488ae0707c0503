// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/header_units.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// What the name of a column says that it holds. Which of two horizontal axes and the height a plain y or z is depends
// on the other columns.
enum class ColumnMeaning {
  kTime,
  kAlong,       // a horizontal distance by name, or x
  kPlainY,      // "y": the height, or the other horizontal axis where something else is the height
  kPlainZ,      // "z": the height
  kHeight,      // the height by name
  kSeaHeight,   // the same, said to be above the sea: where nothing else is the height
  kAcross,      // the other horizontal axis by name
  kAlongSpeed,  // horizontal, by name or as vx
  kPlainVy,
  kPlainVz,
  kUpSpeed,  // vertical, by name
  kSpeed,    // without direction
};
Dimension DimensionOf(ColumnMeaning meaning);

struct NamedColumn {
  ColumnMeaning meaning = ColumnMeaning::kTime;
  bool is_std = false;             // not the quantity but its standard uncertainty
  std::optional<HeaderUnit> unit;  // nothing: the header names none
  std::string strange_unit;        // what stands in the unit's place and is none
};

// What the header "Height (ft)", "vx [m/s]", "t_s", "Time, s", "sigma_x", "heightAboveGround" says, letter case and
// punctuation apart; nothing where it is none of the names known.
std::optional<NamedColumn> UnderstandHeader(std::string_view header);

// The unit of DIMENSION that the last words of NAME mean, of whatever it is the name: "ft" of "apex_ft".
std::optional<HeaderUnit> UnitAtEnd(std::string_view name, Dimension dimension);

// The words of a name, small, without punctuation and joined by blanks: "time s" of "Time [s]". Two names that have
// them in common are taken for the same.
std::string WordsOf(std::string_view name);

// The bracket at the end of NAME ("ft" of "Height (ft)") and what stands before it.
struct BracketedName {
  std::string name, bracket;
};
std::optional<BracketedName> TakeBracket(std::string_view name);

}  // namespace loftline
