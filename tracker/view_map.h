// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/measure_body.h"
#include "tracker/track.h"

#include <optional>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// A homography as OpenCV takes it.
cv::Matx33d MatxOf(const Eigen::Matrix3d& homography);

// d(to)/d(from) of the homography TO_FROM_FROM at a pixel.
Eigen::Matrix2d SlopeAt(const Eigen::Matrix3d& to_from_from, const Eigen::Vector2d& from_px);

// The same homography between half-size planes: pixel c there covers pixels 2 c and 2 c + 1 here.
Eigen::Matrix3d HalfSize(const Eigen::Matrix3d& homography);

// Position, covariance, axis and length of a point that is not hidden.
void CarryPoint(const Eigen::Matrix3d& to_from_from, TrackPoint* point);

// Where the camera pointed while it took a frame.
struct FramePlace {
  // How the frame's own pixels lie in the first frame's; nothing for a camera that stands still.
  std::optional<Eigen::Matrix3d> frame_from_first;
  double std_px = 0.0;        // beside the frames around it, in the frame's own pixels, at its middle
  double whole_std_px = 0.0;  // with what the lens does to a wide turn
};

// How the pixels of the picture at hand (the view) lie in those of the first frame. The two are the same as long as the
// camera does not turn far. All positions that outlive a frame are in the first frame's pixels, which go on beyond its
// borders; pictures are in their view's.
class ViewMap {
 public:
  ViewMap() = default;
  explicit ViewMap(const Eigen::Matrix3d& first_from_view);

  bool same() const { return same_; }
  const Eigen::Matrix3d& first_from_view() const { return first_from_view_; }
  const Eigen::Matrix3d& view_from_first() const { return view_from_first_; }

  Eigen::Vector2d InFirst(const Eigen::Vector2d& view_px) const;
  // Not a number for what lies behind the camera.
  Eigen::Vector2d InView(const Eigen::Vector2d& first_px) const;
  // A velocity, or another small step, at FIRST_PX.
  Eigen::Vector2d StepInView(const Eigen::Vector2d& first_px, const Eigen::Vector2d& step_px) const;
  // How much larger the first frame's pixels show what lies here.
  double MagnificationAt(const Eigen::Vector2d& view_px) const;
  // Position, covariance, axis and sizes.
  BodyMeasure InFirst(const BodyMeasure& in_view) const;
  BodyMeasure InView(const BodyMeasure& in_first) const;

  // Where pixel (0, 0) of this view lies in OLDER's, if that is all by which they differ.
  std::optional<cv::Point> ShiftFrom(const ViewMap& older) const;

 private:
  bool same_ = true;
  Eigen::Matrix3d first_from_view_ = Eigen::Matrix3d::Identity();
  Eigen::Matrix3d view_from_first_ = Eigen::Matrix3d::Identity();
};

}  // namespace loftline
