// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "fit/simulator/aligned_path.h"
#include "fit/simulator/validation.h"

#include <string>
#include <vector>

namespace loftline {

// Lengths or times that look like another unit's. Where there is one, patterns mean nothing.
std::vector<Finding> UnitFindings(const FlightValidation& validation,
                                  const AlignedPath& aligned,
                                  const FlightResult& result);

// What the table itself makes doubtful: columns that contradict each other, a launch that cannot be told, an early end;
// and a measurement that has cautions of its own.
std::vector<Finding> TableFindings(const FlightResult& result,
                                   const AlignedPath& aligned,
                                   const FlightValidation& validation);

// In which way the simulator is off, by name, where its path disagrees: from what would mend it.
std::vector<Finding> PatternFindings(const FlightValidation& validation);

// The simulator was said to start as measured, and does not.
Finding LaunchNotAsMeasured();

// The verdict on one flight in one plain sentence.
std::string ValidationSentence(const FlightValidation& validation);

}  // namespace loftline
