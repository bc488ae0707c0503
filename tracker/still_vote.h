// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/camera_motion.h"

#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// A second opinion on whether the camera moved at all. Clouds that fill most of a picture drift together, as if the
// camera turned; but then the ground stays where it was, which it never does when the camera really turns. Textured
// squares of the first frame each vote for the place where they fit better: where they were, or where the motion says.
class StillVote {
 public:
  // LUMA (CV_8UC1) is kept.
  explicit StillVote(const cv::Mat& luma);

  // Whether enough squares stayed where they were.
  bool Stayed(const cv::Mat& luma, const FrameMotion& motion) const;

 private:
  cv::Mat first_;
  std::vector<cv::Rect> squares_;
};

}  // namespace loftline
