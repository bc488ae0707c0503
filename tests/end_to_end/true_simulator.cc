// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/end_to_end/true_simulator.h"

#include "fit/read_result.h"
#include "fit/simulator/validate_flight.h"
#include "tests/support/synthetic_simulator.h"

#include <fstream>
#include <stdexcept>

#include <nlohmann/json.hpp>

namespace loftline::accuracy {

FlightValidation ValidateTrueSimulator(const std::filesystem::path& result_json,
                                       const std::filesystem::path& truth_json,
                                       double drag_factor) {
  const Expected<FlightResult> result = ReadResult(result_json);
  if (!result) throw std::runtime_error(Describe(result.error()));
  std::ifstream file(truth_json);
  const nlohmann::json truth = nlohmann::json::parse(file);
  const nlohmann::json &flight = truth.at("flight"), &air = truth.at("air");
  SyntheticScene scene;
  scene.speed_m_s = flight.at("launch_speed_m_s");
  scene.angle_deg = flight.at("launch_angle_deg");
  scene.azimuth_deg = flight.at("azimuth_deg");
  scene.drag_per_m = drag_factor * flight.at("drag_per_m").get<double>();
  scene.height_above_landing_m = flight.at("height_above_landing_m");
  scene.wind_along_m_s = air.at("wind_along_m_s");
  scene.gravity_m_s2 = air.at("gravity_m_s2");
  const Expected<FlightValidation> validation = ValidateFlight(*result, Simulate(scene));
  if (!validation) throw std::runtime_error(Describe(validation.error()));
  return *validation;
}

}  // namespace loftline::accuracy
