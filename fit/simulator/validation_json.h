// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/validation.h"

#include <nlohmann/json.hpp>

namespace loftline {

// One flight's comparison as validation.json has it (docs/formats.md, "Validation").
nlohmann::ordered_json ValidationAsJson(const FlightValidation& validation);

}  // namespace loftline
