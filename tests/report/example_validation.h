// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/validation.h"

namespace loftline {

// A simulator beside an invented flight, put together without any of the program's own mathematics: both paths by small
// Euler steps, the simulator's with DRAG_FACTOR times the flight's drag; uncertainties that grow with time; sentences
// written out.
FlightValidation ExampleValidation(double drag_factor, Agreement agreement);

}  // namespace loftline
