// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// General-purpose ways to follow something that a person has pointed at, from OpenCV's own parts: what tracking is
// compared with. Both are helped as no user could help them: they are told the true box and the true step.
#pragma once

#include "tracker/frame_source.h"

#include <memory>
#include <optional>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline::bench {

// Where the body truly is on one frame, in that frame's pixels.
struct TrueBox {
  Eigen::Vector2d middle_px = Eigen::Vector2d::Zero();
  Eigen::Vector2d size_px = Eigen::Vector2d::Zero();  // upright box around the body
  Eigen::Vector2d step_px = Eigen::Vector2d::Zero();  // to where it is on the next frame
};

class HandFollower {
 public:
  virtual ~HandFollower() = default;
  // A frame before it is told anything, or after it has been told enough.
  virtual void Pass(const Frame& frame) = 0;
  // Points at the body on FRAME, for the first time or again.
  virtual void Point(const Frame& frame, const TrueBox& box) = 0;
  // The body's middle on the frame after; nothing where it says itself that it has lost it.
  virtual std::optional<Eigen::Vector2d> Follow(const Frame& frame) = 0;
};

// OpenCV's tracker by discriminative correlation filters with channel and spatial reliability (Lukezic et al.,
// "Discriminative Correlation Filter Tracker with Channel and Spatial Reliability", Int. J. Comput. Vis. 126 (2018)
// 671). Of the picture in colour. It looks about as far around the last place as its box is large, so the box is the
// true one GROWN this often.
std::unique_ptr<HandFollower> FollowByCorrelation(double grown);

// OpenCV's background subtraction by mixtures of Gaussians (Zivkovic, "Improved adaptive Gaussian mixture model for
// background subtraction", ICPR 2004), then the outlines of what it calls foreground; the one nearest to the last
// place. MOVED_ON: to the last place, moved on by the last step. COLOUR: of the picture in three colours, as is usual,
// instead of its luma alone, which is quicker.
struct OutlineOptions {
  bool moved_on = false;
  bool colour = false;
};
std::unique_ptr<HandFollower> FollowByOutlines(const OutlineOptions& options);

// A frame as OpenCV's own reader would give it: blue, green and red. Of an even size.
class ColourPicture {
 public:
  const cv::Mat& Of(const Frame& frame);

 private:
  cv::Mat planes_, colours_;
};

}  // namespace loftline::bench
