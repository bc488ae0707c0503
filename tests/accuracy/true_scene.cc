// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/true_scene.h"

#include <fstream>
#include <stdexcept>

#include <nlohmann/json.hpp>

namespace loftline::accuracy {

SyntheticScene TrueScene(const std::filesystem::path& truth_json) {
  std::ifstream file(truth_json);
  if (!file) throw std::runtime_error("cannot read " + truth_json.string());
  const nlohmann::json truth = nlohmann::json::parse(file);
  const nlohmann::json &flight = truth.at("flight"), &air = truth.at("air");
  SyntheticScene scene;
  scene.speed_m_s = flight.at("launch_speed_m_s");
  scene.angle_deg = flight.at("launch_angle_deg");
  scene.azimuth_deg = flight.at("azimuth_deg");
  scene.drag_per_m = flight.at("drag_per_m");
  scene.height_above_landing_m = flight.at("height_above_landing_m");
  scene.wind_along_m_s = air.at("wind_along_m_s");
  scene.gravity_m_s2 = air.at("gravity_m_s2");
  return scene;
}

}  // namespace loftline::accuracy
