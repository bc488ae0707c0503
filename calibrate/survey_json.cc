// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_json.h"

#include <fmt/format.h>

namespace loftline {

std::optional<Eigen::Vector2d> OptionalPair(JsonObject& object, std::string_view key) {
  const std::optional<std::vector<double>> pair = object.OptionalNumbers(key, 2);
  if (!pair) return std::nullopt;
  return Eigen::Vector2d((*pair)[0], (*pair)[1]);
}

Eigen::Vector2d Pair(JsonObject& object, std::string_view key) {
  const std::vector<double> pair = object.Numbers(key, 2);
  return pair.size() == 2 ? Eigen::Vector2d(pair[0], pair[1]) : Eigen::Vector2d(0, 0);
}

std::optional<double> PositiveOrNothing(JsonObject& object, std::string_view key) {
  const std::optional<double> number = object.OptionalNumber(key);
  if (number && *number <= 0.0) {
    object.Reject(
        key, fmt::format("must be above zero, not {:g}.", *number), "Give a positive number or leave it out.");
  }
  return number;
}

double Positive(JsonObject& object, std::string_view key) {
  const double number = object.Number(key);
  if (number <= 0.0) {
    object.Reject(key, fmt::format("must be above zero, not {:g}.", number), "Give the true value.");
  }
  return number;
}

std::optional<double> WithinOrNothing(JsonObject& object, std::string_view key, double low, double high) {
  const std::optional<double> number = object.OptionalNumber(key);
  if (number && (*number < low || *number > high)) {
    object.Reject(key,
                  fmt::format("must be between {:g} and {:g}, not {:g}.", low, high, *number),
                  "Check the number and its unit.");
  }
  return number;
}

void ReadLens(JsonObject& object, CameraEvidence* camera) {
  camera->horizontal_view_deg = WithinOrNothing(object, "horizontal_view_deg", 1.0, 170.0);
  camera->horizontal_view_std_deg = PositiveOrNothing(object, "horizontal_view_std_deg");
  std::optional<JsonObject> lens = object.Child("distortion");
  if (!lens) return;
  camera->k1 = WithinOrNothing(*lens, "k1", -2.0, 2.0);
  camera->k2 = WithinOrNothing(*lens, "k2", -2.0, 2.0);
  camera->p1 = WithinOrNothing(*lens, "p1", -0.1, 0.1);
  camera->p2 = WithinOrNothing(*lens, "p2", -0.1, 0.1);
  camera->k1_std = PositiveOrNothing(*lens, "k1_std");
  camera->k2_std = PositiveOrNothing(*lens, "k2_std");
  camera->p1_std = PositiveOrNothing(*lens, "p1_std");
  camera->p2_std = PositiveOrNothing(*lens, "p2_std");
  camera->k1_k2_correlation = WithinOrNothing(*lens, "k1_k2_correlation", -0.9999, 0.9999);
  if (camera->k1_k2_correlation && !(camera->k1_std && camera->k2_std)) {
    lens->Reject("k1_k2_correlation", "stands without k1_std and k2_std.", "Give both, or leave the correlation out.");
  }
}

void ReadReadout(JsonObject& object, TimingEvidence* timing) {
  timing->readout_s = WithinOrNothing(object, "readout_s", 0.0, 0.2);
  timing->readout_std_s = PositiveOrNothing(object, "readout_std_s");
}

JsonWriter LensWriter(const CameraEvidence& camera) {
  JsonWriter distortion;
  distortion.Put("k1", camera.k1)
      .Put("k1_std", camera.k1_std)
      .Put("k2", camera.k2)
      .Put("k2_std", camera.k2_std)
      .Put("k1_k2_correlation", camera.k1_k2_correlation)
      .Put("p1", camera.p1)
      .Put("p1_std", camera.p1_std)
      .Put("p2", camera.p2)
      .Put("p2_std", camera.p2_std);
  JsonWriter writer;
  writer.Put("horizontal_view_deg", camera.horizontal_view_deg)
      .Put("horizontal_view_std_deg", camera.horizontal_view_std_deg)
      .Put("distortion", distortion.Take());
  return writer;
}

}  // namespace loftline
