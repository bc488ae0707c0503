// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/simulated_flight.h"
#include "tests/support/synthetic_flight.h"

namespace loftline {

// What a perfect simulator would say of a scene's launch: the path by GSL's integrator, x along the flight, y up, with
// velocities, every STEP_S from the launch to below the landing level.
SimulatedFlight Simulate(const SyntheticScene& scene, double step_s = 0.02);

}  // namespace loftline
