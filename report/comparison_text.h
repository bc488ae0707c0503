// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <string>

namespace loftline {

// A comparison for a terminal: the answer, what to bear in mind, the designs at the standard launch and as flown, a
// sentence for each pair of the main quantities, what was left out. UTF-8, at most 80 columns; control characters of
// names are shown as '?'.
std::string ComparisonText(const Comparison& comparison);

}  // namespace loftline
