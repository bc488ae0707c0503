// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/camera_motion.h"

namespace loftline::render {

// What a careful person writes down at the site and marks on the first frame: true values plus the scatter that they
// state.
struct Notes {
  nlohmann::ordered_json survey;  // loftline.survey, version 1
  double mass_g = 0, mass_std_g = 0, diameter_mm = 0, diameter_std_mm = 0;
};

Notes WriteNotes(const Scene& scene, const CameraMotion& camera);

}  // namespace loftline::render
