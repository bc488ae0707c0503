// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <array>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// A frame at four sizes, each half of the one before. The largest is the frame averaged over squares of `shrink`
// pixels, chosen so that its longer side is at most 1000 px whatever the clip: work on it costs the same for all.
class ReducedPicture {
 public:
  static constexpr int kLevels = 4;

  // By how much a frame of this size is reduced for level 0: 1, 2, 4 ...
  static int ShrinkFor(int width_px, int height_px);

  void Reduce(const cv::Mat& luma, int shrink);
  const cv::Mat& level(int i) const { return levels_[static_cast<std::size_t>(i)]; }
  int shrink() const { return shrink_; }

  // Between the frame's pixels and a level's; in both, (0, 0) is the centre of the top-left pixel.
  Eigen::Vector2d LevelFromFrame(const Eigen::Vector2d& in_frame_px, int i) const;
  Eigen::Vector2d FrameFromLevel(const Eigen::Vector2d& in_level_px, int i) const;

 private:
  double Scale(int i) const { return static_cast<double>(shrink_ << i); }

  int shrink_ = 1;
  std::array<cv::Mat, kLevels> levels_;
  cv::Mat between_;  // half of a frame that is reduced four times
};

// Means of 2 x 2 pixels, rounded; an odd last row or column is left out.
void HalvePicture(const cv::Mat& from, cv::Mat* to);

}  // namespace loftline
