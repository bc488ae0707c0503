// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/survey.h"
#include "core/json_file.h"

#include <optional>
#include <string_view>

namespace loftline {

// What reading and writing survey and camera files share. Readers reject a value that cannot be, naming its key.
std::optional<Eigen::Vector2d> OptionalPair(JsonObject& object, std::string_view key);
Eigen::Vector2d Pair(JsonObject& object, std::string_view key);
std::optional<double> PositiveOrNothing(JsonObject& object, std::string_view key);
double Positive(JsonObject& object, std::string_view key);
std::optional<double> WithinOrNothing(JsonObject& object, std::string_view key, double low, double high);

void ReadLens(JsonObject& object, CameraEvidence* camera);     // view angle and distortion
void ReadReadout(JsonObject& object, TimingEvidence* timing);  // rolling shutter alone

// A whole survey, where another file holds one; its format and version are the caller's to check. What is wrong is kept
// in the document; the survey is then not to be used. CheckSurvey stays to be asked.
Survey TakeSurvey(JsonObject& root);

// Keys in the order of design and documentation; what is not known is left out.
class JsonWriter {
 public:
  JsonWriter& Put(const char* key, const std::optional<double>& number) {
    if (number) json_[key] = *number;
    return *this;
  }
  JsonWriter& Put(const char* key, const Eigen::Vector2d& pair) {
    json_[key] = {pair.x(), pair.y()};
    return *this;
  }
  JsonWriter& Put(const char* key, nlohmann::ordered_json value) {
    if (!value.empty()) json_[key] = std::move(value);
    return *this;
  }
  nlohmann::ordered_json Take() { return std::move(json_); }

 private:
  nlohmann::ordered_json json_ = nlohmann::ordered_json::object();
};

// With the view angle and the distortion already in it.
JsonWriter LensWriter(const CameraEvidence& camera);

}  // namespace loftline
