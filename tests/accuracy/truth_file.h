// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace loftline::accuracy {

// What a rendered clip really showed (sample-clips/README.md, "Truth").
struct TruthFrame {
  double time_stamp_s = 0.0;  // as the container has it
  double row_time_s = 0.0;    // real time of the exposure of the row on which the body's middle lies
  double x_px = 0.0, y_px = 0.0;
  double length_px = 0.0;
  std::string state;
  double hidden_share = 0.0;
  bool visible = false;
};

struct ClipTruth {
  std::string name;
  std::string direction;
  std::map<std::string, double> quantities;  // by the names of result.json's "flight"
  double launch_s = 0.0, landing_s = 0.0, frame_step_s = 0.0;
  bool apogee_in_view = false, landing_in_view = false;
  double mass_g = 0.0, mass_std_g = 0.0, diameter_mm = 0.0, diameter_std_mm = 0.0;  // as written down at the site
  std::vector<TruthFrame> frames;
};

// Throws std::runtime_error for a file that cannot be read: our own files, so that is a bug.
ClipTruth ReadTruth(const std::filesystem::path& path);

}  // namespace loftline::accuracy
