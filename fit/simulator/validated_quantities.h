// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "fit/simulator/aligned_path.h"
#include "fit/simulator/equivalent_motion.h"

#include <vector>

namespace loftline {

// E, u_val and its verdict where u_val is combined from both sides (ASME V&V 20-2009, 1-5): u_val^2 = u_D^2 + u_S^2.
// COVERAGE is the factor from a standard uncertainty to half the 95 % interval.
struct SimulatorError {
  double error = 0.0, error_std = 0.0, low_95 = 0.0, high_95 = 0.0;
  Agreement agreement = Agreement::kTooUncertain;
};
SimulatorError CompareValues(const Measured& simulated, const Measured& measured, double coverage, double matters);

// An error within its 95 % interval agrees where that interval is narrow enough to show what matters.
Agreement AgreementOf(double error, double half_95, double matters);

// What table and footage both tell as single numbers, counted from each one's own launch: launch speed and angle,
// apogee and range with their times. What the table does not tell (heights alone, too short) is left out.
std::vector<ValidatedQuantity> CompareQuantities(const FlightResult& result,
                                                 const FittedMotion& motion,
                                                 const AlignedPath& aligned,
                                                 const EquivalentMotion& equivalent,
                                                 const ValidationOptions& options);

}  // namespace loftline
