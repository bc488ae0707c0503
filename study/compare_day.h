// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/comparison.h"
#include "study/summary_file.h"

#include <vector>

namespace loftline {

// Compares the designs of one or more measured days, raw and at one standard launch (docs/method.md, "Comparing
// designs"). Which flights count is the rule of study/flight_use.h.
// Errors: "no-flights" (kRefused) where no flight was measured; "no-such-variable" (kInvalidInput) where no table has
// the variable asked for; "bad-value" for an impossible standard launch.
Expected<Comparison> CompareDays(const std::vector<DaySummary>& days, const CompareOptions& options = {});

}  // namespace loftline
