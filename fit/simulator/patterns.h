// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/validation.h"

#include <string>
#include <vector>

namespace loftline {

// In which way the simulator is off, by name, where its path disagrees: from what would mend it.
std::vector<Finding> PatternFindings(const FlightValidation& validation);

// The simulator was said to start as measured, and does not.
Finding LaunchNotAsMeasured();

// The verdict on one flight in one plain sentence.
std::string ValidationSentence(const FlightValidation& validation);

}  // namespace loftline
