// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/truth_file.h"

#include <cmath>
#include <fstream>
#include <stdexcept>

#include <nlohmann/json.hpp>

namespace loftline::accuracy {

ClipTruth ReadTruth(const std::filesystem::path& path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot read " + path.string());
  const nlohmann::json json = nlohmann::json::parse(file);
  ClipTruth truth;
  truth.name = json.at("name");
  for (const auto& [key, value] : json.at("flight").items()) {
    if (value.is_number()) truth.quantities[key] = value;
  }
  truth.direction = json.at("flight").at("direction");
  truth.launch_s = truth.quantities.at("launch_s");
  truth.landing_s = truth.launch_s + truth.quantities.at("flight_time_s");
  truth.frame_step_s = 1.0 / json.at("timing").at("capture_rate_hz").get<double>();
  truth.apogee_in_view = json.at("seen").at("apogee_in_view");
  truth.landing_in_view = json.at("seen").at("landing_in_view");
  const auto& written = json.at("written_down");
  truth.mass_g = written.at("mass_g");
  truth.mass_std_g = written.at("mass_std_g");
  truth.diameter_mm = written.at("diameter_mm");
  truth.diameter_std_mm = written.at("diameter_std_mm");
  for (const auto& row : json.at("frames")) {
    TruthFrame frame;
    frame.time_stamp_s = row.at(1);
    frame.row_time_s = row.at(3);
    frame.x_px = row.at(4).at(0);
    frame.y_px = row.at(4).at(1);
    frame.length_px = std::hypot(row.at(6).at(0).get<double>() - row.at(5).at(0).get<double>(),
                                 row.at(6).at(1).get<double>() - row.at(5).at(1).get<double>());
    frame.state = row.at(7);
    frame.hidden_share = row.at(8);
    frame.visible = row.at(9);
    truth.frames.push_back(frame);
  }
  return truth;
}

}  // namespace loftline::accuracy
