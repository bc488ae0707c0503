// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/simulator/validation.h"

#include <string>

namespace loftline {

// The composite picture STEM.flight.png that stands beside STEM.result.json, with the simulator's path drawn over it,
// as a <figure>; where there is none that fits the result, a paragraph that says how to get one. Errors: those of
// EncodeJpeg.
Expected<std::string> ValidationPicture(const FlightValidation& flight);

}  // namespace loftline
