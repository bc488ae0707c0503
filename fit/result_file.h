// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/flight_result.h"

#include <filesystem>

#include <nlohmann/json.hpp>

namespace loftline {

// A result.json file (docs/formats.md, docs/schemas/result.schema.json).
nlohmann::ordered_json ResultAsJson(const FlightResult& result);
// Its block "choice".
nlohmann::ordered_json PathChoiceAsJson(const PathChoice& choice);
Status WriteResult(const std::filesystem::path& path, const FlightResult& result);

}  // namespace loftline
