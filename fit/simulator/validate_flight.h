// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/flight_result.h"
#include "fit/simulator/validation.h"

namespace loftline {

// Compares a simulator's flight with a measured one. RESULT is one that ReadResult gives, or FitFlight's own.
// Errors (kRefused): "nothing-measured" (the result was refused), "no-common-time" (the two do not overlap).
Expected<FlightValidation> ValidateFlight(const FlightResult& result,
                                          const SimulatedFlight& simulated,
                                          const ValidationOptions& options = {});

}  // namespace loftline
