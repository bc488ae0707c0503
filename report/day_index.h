// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/summary_file.h"

#include <string>

namespace loftline {

// index.html of a launch day: what could not be measured and why, then every flight in a table that can be sorted, with
// its picture and a link to its report. To be written into the day's folder: links and pictures are relative to it.
// Works offline and without scripts (then in the table's order). Holds nothing of the folder's own name.
std::string DayIndexHtml(const DaySummary& summary);

}  // namespace loftline
