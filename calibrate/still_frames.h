// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

struct StillFrame {
  int index = 0;
  double motion = 1e9;  // mean change since the frame before, in steps of luma
  cv::Mat luma;
};

// Of each stretch of a clip, the frame that changed least since the one before: where a board that is carried about was
// held still.
class StillFrames {
 public:
  explicit StillFrames(int stretch) : stretch_(stretch) {}

  void Add(int index, const cv::Mat& luma);  // CV_8UC1; every frame in turn, from number 0
  const std::vector<StillFrame>& kept() const { return kept_; }

 private:
  int stretch_;
  cv::Mat before_;  // reduced
  std::vector<StillFrame> kept_;
};

}  // namespace loftline
