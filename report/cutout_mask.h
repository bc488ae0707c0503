// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/track_clip.h"

#include <opencv2/core.hpp>

namespace loftline {

// Where the rocket is in a cut-out.
struct RocketPlace {
  cv::Point2d at;
  double reach_px = 0.0;   // how far from AT its body may be
  double length_px = 0.0;  // 0: not known, and neither is the axis
  double axis_rad = 0.0;   // in the picture, y down
};

// How much of each pixel of a cut-out belongs to the rocket: CV_32F, 0..1, as large as the cut-out. BACKDROP is the
// same piece of the backdrop.
cv::Mat RocketMask(const Cutout& cutout, const Cutout& backdrop, const RocketPlace& rocket);

}  // namespace loftline
