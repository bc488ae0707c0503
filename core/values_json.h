// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "core/measured.h"

#include <optional>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// Values and findings as all files and --json have them; null where there is none.
nlohmann::ordered_json AsJson(const Measured& measured);
nlohmann::ordered_json AsJson(const std::optional<Measured>& measured);
nlohmann::ordered_json AsJson(const std::optional<Estimate>& estimate);
nlohmann::ordered_json FindingsAsJson(const std::vector<Finding>& findings);

}  // namespace loftline
