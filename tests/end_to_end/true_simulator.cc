// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/end_to_end/true_simulator.h"

#include "fit/read_result.h"
#include "fit/simulator/validate_flight.h"
#include "tests/accuracy/true_scene.h"
#include "tests/support/synthetic_simulator.h"

#include <stdexcept>

namespace loftline::accuracy {

FlightValidation ValidateTrueSimulator(const std::filesystem::path& result_json,
                                       const std::filesystem::path& truth_json,
                                       double drag_factor) {
  const Expected<FlightResult> result = ReadResult(result_json);
  if (!result) throw std::runtime_error(Describe(result.error()));
  SyntheticScene scene = TrueScene(truth_json);
  scene.drag_per_m *= drag_factor;
  const Expected<FlightValidation> validation = ValidateFlight(*result, Simulate(scene));
  if (!validation) throw std::runtime_error(Describe(validation.error()));
  return *validation;
}

}  // namespace loftline::accuracy
