// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <nlohmann/json.hpp>

namespace loftline {

// comparison.json (docs/formats.md, "Comparison"; docs/schemas/comparison.schema.json).
nlohmann::ordered_json ComparisonAsJson(const Comparison& comparison);

}  // namespace loftline
