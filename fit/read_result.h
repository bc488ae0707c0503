// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/flight_result.h"

#include <filesystem>

namespace loftline {

// Reads a result.json (docs/formats.md). What the file does not hold stays empty: the path's samples, the points.
// Errors: those of ReadJson and ReadSurvey, "bad-format", "bad-version", "old-result" (written before results held
// their motion: measure the clip again).
Expected<FlightResult> ReadResult(const std::filesystem::path& path);

}  // namespace loftline
