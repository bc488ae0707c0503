// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/background.h"
#include "tracker/view_map.h"

#include <memory>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// A window of one frame around something that may be the rocket, with what the background would show there. Kept while
// the frame is there, for a second look once the whole flight is known.
struct BodyPatch {
  int frame = 0;
  double time_s = 0.0;
  ViewMap view;
  cv::Point top_left_px;
  cv::Mat seen;      // CV_8U
  cv::Mat expected;  // CV_8U: the background's level with its offset

  cv::Rect area() const { return {top_left_px, seen.size()}; }
  std::size_t bytes() const { return 2 * seen.total(); }
};

// The window of REACH_PX (across, down) on each side of AT_PX, cut at the picture's border. Empty where it lies
// outside.
cv::Rect PatchArea(const Background& background, const Eigen::Vector2d& at_px, const Eigen::Vector2d& reach_px);
// AREA of LUMA, and what BACKGROUND, whose view lies SHIFT_PX farther on, shows there: AREA - SHIFT_PX must lie in it.
std::shared_ptr<BodyPatch> TakePatch(const cv::Mat& luma,
                                     const cv::Rect& area,
                                     const Background& background,
                                     const cv::Point& shift_px = {0, 0});

}  // namespace loftline
