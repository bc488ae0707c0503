// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <string>

namespace loftline {

// The answers for a terminal: verdict, an aligned table with the 95 % uncertainty and interval, the findings with
// advice. UTF-8, at most 80 columns, a newline at the end. Control characters of file names are shown as '?', so that a
// clip's name cannot steer the terminal.
std::string TextSummary(const FlightResult& result);

// Where the uncertainty of each main quantity comes from, largest source first, and how to shrink it. Empty where
// nothing was measured.
std::string BudgetText(const FlightResult& result);

}  // namespace loftline
