// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/prediction/prediction.h"

#include <optional>
#include <string>
#include <string_view>

#include <nlohmann/json.hpp>

namespace loftline {

// Before the name of the result that a prediction started from, in its table; a check knows its own footage by it.
inline constexpr std::string_view kPredictedFromRemark = "# starts from the measured flight ";

// A prediction as `predict --json` prints it (docs/formats.md, docs/schemas/prediction.schema.json).
nlohmann::ordered_json PredictionAsJson(const Prediction& prediction);

// The predicted path as a table that `validate` reads (docs/formats.md, "Predicted path"): one row a moment, with what
// was taken in comment lines above it.
std::string PredictionAsCsv(const Prediction& prediction);

// An input in the unit that people use for it: grams, millimetres of a diameter, degrees.
struct ShownInput {
  Measured value;
  std::string unit;
};
ShownInput InputForPeople(const PredictionInput& input);

// What is said of a drag table in the place of numbers that only mean "unchanged"; nothing for other inputs.
std::optional<std::string> TableAsItStands(const PredictionInput& input);

// "launch speed 25 ± 0.3 m/s", for one input, in the units of everyday.
std::string InputText(const PredictionInput& input);

}  // namespace loftline
