// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/interval_figures.h"

#include <string>
#include <vector>

namespace loftline::accuracy {

// Plain text, at most 100 columns. For each kind and in all: truths inside their 95 % intervals, a star where the
// binomial test speaks against 95 %.
std::string CoverageTable(const std::vector<JudgedFlight>& flights);
// For each kind and quantity: mean squared error in stated standard uncertainties, RMS error and median half-width in
// %, and the RMS error over the Cramer-Rao bound where there is one.
std::string ErrorTable(const std::vector<JudgedFlight>& flights);
// For each kind: verdicts, wrongly cautioned, and how often each code stood in a result.
std::string VerdictTable(const std::vector<JudgedFlight>& flights);

}  // namespace loftline::accuracy
