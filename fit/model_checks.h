// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/attempt.h"
#include "fit/fit_inputs.h"
#include "fit/flight_result.h"

namespace loftline {

// Looks for reasons to doubt a finished result: adds a finding for each and sets the verdict (caution where any finding
// is one). Each code and its rule stand in docs/findings.md.
void CheckModel(const FitInputs& inputs, const Attempt& attempt, FlightResult* result);

}  // namespace loftline
