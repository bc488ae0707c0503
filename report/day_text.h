// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/summary_file.h"

#include <string>

namespace loftline {

// A launch day for a terminal: counts, what could not be measured and why, then a line for each flight (the first 60).
// UTF-8, at most 80 columns; control characters of names are shown as '?'.
std::string DayText(const DaySummary& summary);

}  // namespace loftline
