// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "study/comparison.h"

#include <vector>

namespace loftline {

// What spoils a comparison however good its numbers are; codes as in docs/findings.md, "Comparing".
std::vector<Finding> DayWarnings(const Comparison& comparison);

}  // namespace loftline
