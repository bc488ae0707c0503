// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/support/synthetic_flight.h"

#include <filesystem>

namespace loftline::accuracy {

// The launch, drag, wind and gravity of a rendered clip's truth file, as GSL's integrator takes them; the rest of the
// scene as it is made. Throws std::runtime_error, or what nlohmann::json throws: our own files, so that is a bug.
SyntheticScene TrueScene(const std::filesystem::path& truth_json);

}  // namespace loftline::accuracy
