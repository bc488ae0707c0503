// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/prediction/prediction.h"

#include <string>

#include <nlohmann/json.hpp>

namespace loftline {

// A prediction as `predict --json` prints it (docs/formats.md, docs/schemas/prediction.schema.json).
nlohmann::ordered_json PredictionAsJson(const Prediction& prediction);

// The predicted path as a table that `validate` reads (docs/formats.md, "Predicted path"): one row a moment, with what
// was taken in comment lines above it.
std::string PredictionAsCsv(const Prediction& prediction);

// "launch speed 25 ± 0.3 m/s", for one input, in the units of everyday.
std::string InputText(const PredictionInput& input);

}  // namespace loftline
