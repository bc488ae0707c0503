// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/column_names.h"

#include <optional>
#include <string_view>

namespace loftline {

// What the words of a column's name mean, in small letters and joined by single blanks: "downrange distance", "vx",
// also "weite", "hauteur", "altura". Nothing where they are none of those known.
std::optional<ColumnMeaning> MeaningOfPhrase(std::string_view words);

}  // namespace loftline
