// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "core/measured.h"

#include <optional>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

class JsonObject;  // core/json_file.h

// Values and findings as all files and --json have them; null where there is none.
nlohmann::ordered_json AsJson(const Measured& measured);
nlohmann::ordered_json AsJson(const std::optional<Measured>& measured);
nlohmann::ordered_json AsJson(const std::optional<Estimate>& estimate);
nlohmann::ordered_json FindingsAsJson(const std::vector<Finding>& findings);

// The same read back; what is wrong is kept in the document, as JsonObject's own getters do. Absent and null both give
// nothing.
std::optional<Measured> TakeMeasured(JsonObject& parent, std::string_view key);
std::optional<Estimate> TakeEstimate(JsonObject& parent, std::string_view key);
Estimate EstimateOf(JsonObject& object);  // the object itself
std::vector<Finding> TakeFindings(JsonObject& parent, std::string_view key);
// Which of NAMES the text under KEY is.
std::size_t TakeName(JsonObject& parent, std::string_view key, const std::vector<std::string_view>& names);

}  // namespace loftline
