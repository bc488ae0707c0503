// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "fit/simulator/aligned_path.h"
#include "fit/simulator/validation.h"

#include <vector>

namespace loftline {

// What makes the table another flight than its author meant: lengths or times in another unit, axes that point
// elsewhere, a launch that is none. Where there is one, patterns of the flight mean nothing.
std::vector<Finding> TableSlips(const FlightValidation& validation,
                                const AlignedPath& aligned,
                                const FlightResult& result);

// What else the table makes doubtful: columns that contradict each other, an early end; and a measurement that has
// cautions of its own.
std::vector<Finding> TableFindings(const FlightResult& result,
                                   const AlignedPath& aligned,
                                   const FlightValidation& validation);

}  // namespace loftline
