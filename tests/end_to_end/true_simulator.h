// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/validation.h"

#include <filesystem>

namespace loftline::accuracy {

// What becomes of a simulator that flies a rendered clip's own launch (GSL's integrator), with its drag multiplied by
// DRAG_FACTOR, beside the result that was measured from the clip. Throws std::runtime_error for files that cannot be
// read or compared.
FlightValidation ValidateTrueSimulator(const std::filesystem::path& result_json,
                                       const std::filesystem::path& truth_json,
                                       double drag_factor = 1.0);

}  // namespace loftline::accuracy
