// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <string>

namespace loftline {

// The parts of a comparison's page, in HTML, every text from outside escaped. An empty string: nothing to show.
std::string ComparisonHeader(const Comparison& comparison);
std::string WarningsSection(const Comparison& comparison);
// Range as flown and at the standard launch on one axis, beside them the push and the drag coefficient.
std::string SpreadsSection(const Comparison& comparison);
std::string CurvesSection(const Comparison& comparison);
// The sentences for all pairs of the main quantities, with their differences drawn; of the others folded away.
std::string PairsSection(const Comparison& comparison);
std::string DesignsSection(const Comparison& comparison);
std::string TapeSection(const Comparison& comparison);
std::string LeftOutSection(const Comparison& comparison);
// Every flight as numbers, folded away, not on paper.
std::string AllFlightsSection(const Comparison& comparison);

}  // namespace loftline
