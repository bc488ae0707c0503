// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <optional>
#include <vector>

namespace loftline {

// The measured ranges beside those in the table; nothing where no flight has both.
std::optional<TapeAgreement> CompareWithTape(const std::vector<ComparedFlight>& flights);

}  // namespace loftline
