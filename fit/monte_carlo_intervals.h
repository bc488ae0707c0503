// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/run_control.h"
#include "fit/attempt.h"
#include "fit/flight_result.h"

#include <cstdint>

namespace loftline {

// Replaces the linearised intervals and standard uncertainties of RESULT by those of DRAWS flights (JCGM 101): all
// measurements, points and survey and priors alike, are drawn anew about what the solution says of them, each by its
// own uncertainty, and the flight is solved again. The scale of the path's noise is drawn too, as well as it was known.
// 200 draws or more; the same seed gives the same intervals. Values stay those of the fit. Errors: "cancelled".
Status TakeMonteCarloIntervals(const FitInputs& inputs,
                               const Attempt& attempt,
                               const FitOptions& options,
                               const RunControl& control,
                               FlightResult* result);

constexpr int kFewestDraws = 200;

}  // namespace loftline
