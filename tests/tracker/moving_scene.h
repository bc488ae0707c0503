// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline::test {

// Pictures of a far scene as a turning camera sees it, with known truth. Nothing is shared with tracker/: the scene is
// a large random texture that lies in the reference frame's own pixels, and every row of a frame is cut out of it by
// that row's homography. In the upper part of the scene clouds drift by on their own.
struct MovingSceneOptions {
  int width_px = 1280;
  int height_px = 720;
  double focal_px = 1000.0;
  double readout_s = 0.0;   // from the first to the last row
  double sky_share = 0.33;  // of the reference frame's height, from the top, that is sky
  double cloud_px_per_s = 0.0;
  double cloud_contrast = 25.0;  // grey levels, peak to peak
  std::vector<double> cloud_grains_px = {25.0, 60.0, 180.0};
  double ground_contrast = 110.0;
  double noise = 1.5;  // grey levels, new in every frame
  int walkers = 0;     // dark figures that walk through the lower part
  int reach_px = 200;  // how far the texture goes on beyond the reference frame, up and down, and to the left
  int reach_right_px = 200;
  std::uint64_t seed = 1;
};

// Where the camera points: turn about x (down is positive for the picture's contents), y and z in rad, from the
// reference, in the reference's axes.
using CameraPath = std::function<Eigen::Vector3d(double time_s)>;

class MovingScene {
 public:
  MovingScene(const MovingSceneOptions& options, CameraPath path);

  cv::Mat Picture(double time_s);
  // From the frame's pixels on a row to the reference's, the reference being the camera at turn 0.
  Eigen::Matrix3d ReferenceFromRow(double time_s, double row_px) const;
  Eigen::Vector2d ReferencePxFromFrame(double time_s, const Eigen::Vector2d& in_frame_px) const;
  // Corners, edges and the middle: five across by three down.
  std::vector<Eigen::Vector2d> ProbePoints() const;
  const MovingSceneOptions& options() const { return options_; }

 private:
  void DrawWalkers(double time_s, cv::Mat* picture) const;

  MovingSceneOptions options_;
  CameraPath path_;
  cv::Mat ground_, ground_cover_, clouds_;  // float, the reference's pixel (0, 0) at (reach_px, reach_px)
  cv::RNG random_;
};

// A hand that holds a phone: waves between 0.3 and 8 Hz, each sharing the size out as the square root of its period.
// SIZE_PX is about the largest movement of the middle.
CameraPath HandHeld(double size_px, double focal_px, std::uint64_t seed);

}  // namespace loftline::test
