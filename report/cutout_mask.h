// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/track_clip.h"

#include <opencv2/core.hpp>

namespace loftline {

// How much of each pixel of a cut-out belongs to the rocket: CV_32F, 0..1, as large as the cut-out. BACKDROP is the
// same piece of the backdrop; AT is the rocket's place in the cut-out and REACH_PX how far from there its body may be.
cv::Mat RocketMask(const Cutout& cutout, const Cutout& backdrop, const cv::Point2d& at, double reach_px);

}  // namespace loftline
