// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/survey.h"
#include "core/expected.h"

#include <filesystem>

#include <nlohmann/json.hpp>

namespace loftline {

// A survey.json file (docs/formats.md, docs/schemas/survey.schema.json). Reading checks ranges as well as form: lengths
// and standard uncertainties above zero, marks inside the picture and apart from each other.
Expected<Survey> ReadSurvey(const std::filesystem::path& path);
nlohmann::ordered_json SurveyAsJson(const Survey& survey);
Status WriteSurvey(const std::filesystem::path& path, const Survey& survey);

// The same range checks for a survey made in memory. Errors: "bad-value", "mark-outside-picture".
Status CheckSurvey(const Survey& survey);

// Does anything in the survey have metres in it? A baseline, two known points, or the camera's distance.
bool HasScale(const Survey& survey);
// The refusal "no-scale", for where it needs one.
Error NoScale(const Survey& survey);

}  // namespace loftline
