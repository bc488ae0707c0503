// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>
#include <nlohmann/json.hpp>

namespace loftline {

class JsonObject;  // core/json_file.h

// What a person has marked and written on a clip's sheet, finished or not. Texts are as they were typed: what they mean
// is for draft_survey.h to say. Pixels of the upright picture.
struct Draft {
  using Place = std::optional<Eigen::Vector2d>;
  struct Baseline {
    Place from_px, to_px;
    std::string length, lies = "free", depth_offset;
  };
  struct Line {
    Place from_px, to_px;
    std::string lies = "plumb";
  };
  struct Point {
    Place px;
    std::string across, up;
  };
  struct Marked {  // the rocket is here, for the tracker
    int frame = 0;
    Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  };
  struct Edit {  // of the track, by hand
    int frame = 0;
    std::string kind;  // "drop", "move", "add"
    Place at_px;
  };

  int frame = 0;  // that the marks were made on
  std::vector<Baseline> baselines;
  std::vector<Line> lines;
  std::vector<Point> points;
  Place launch_px;
  std::string height_above_landing, view_angle, distance, tilt, roll, yaw, readout, capture_rate, temperature, pressure,
      humidity, wind_along, latitude, elevation, mark_std_px, mass, diameter;
  std::vector<Marked> marked;
  std::vector<Edit> edits;
};

// The one-line fields, by their keys.
struct DraftText {
  const char* key;
  std::string Draft::*member;
};
inline constexpr DraftText kDraftTexts[] = {{"height_above_landing", &Draft::height_above_landing},
                                            {"view_angle", &Draft::view_angle},
                                            {"distance", &Draft::distance},
                                            {"tilt", &Draft::tilt},
                                            {"roll", &Draft::roll},
                                            {"yaw", &Draft::yaw},
                                            {"readout", &Draft::readout},
                                            {"capture_rate", &Draft::capture_rate},
                                            {"temperature", &Draft::temperature},
                                            {"pressure", &Draft::pressure},
                                            {"humidity", &Draft::humidity},
                                            {"wind_along", &Draft::wind_along},
                                            {"latitude", &Draft::latitude},
                                            {"elevation", &Draft::elevation},
                                            {"mark_std_px", &Draft::mark_std_px},
                                            {"mass", &Draft::mass},
                                            {"diameter", &Draft::diameter}};

// All keys are optional; what is wrong is kept in the document, as JsonObject's own getters do.
Draft TakeDraft(JsonObject& object);
nlohmann::ordered_json DraftAsJson(const Draft& draft);

}  // namespace loftline
