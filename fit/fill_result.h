// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/attempt.h"
#include "fit/fit_flight.h"
#include "fit/flight_result.h"

namespace loftline {

// Everything of RESULT that a solution says: quantities with budgets, the path, the points, the fit's own figures, and
// how straight the body flew.
void FillResult(const Track& track,
                const FitInputs& inputs,
                const Attempt& attempt,
                const FitOptions& options,
                FlightResult* result);

}  // namespace loftline
