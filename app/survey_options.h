// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/command_line.h"
#include "app/option_values.h"
#include "calibrate/survey.h"
#include "core/expected.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

// Everything that a survey can hold, as options of a command line.
class SurveyOptions {
 public:
  void AddTo(CommandLine* line);
  // A survey of a picture of this size, of a clip turned upright by ROTATION_DEG. Errors: "bad-value" and
  // "bad-quantity", naming the option, and those of the camera file.
  Expected<Survey> Read(int width_px, int height_px, int rotation_deg = 0) const;

 private:
  void ReadCameraAndSite(Survey* survey, OptionValues* values) const;

  std::vector<std::string> baselines_, lies_, depth_offsets_, plumb_lines_, level_lines_, points_;
  std::optional<std::string> mark_std_, launch_point_, height_above_landing_;
  std::optional<std::string> camera_, view_angle_, distortion_, distance_, tilt_, roll_, yaw_;
  std::optional<std::string> readout_, capture_rate_;
  std::optional<std::string> temperature_, pressure_, humidity_, wind_along_, latitude_, elevation_;
  int frame_ = 0;
};

}  // namespace loftline
