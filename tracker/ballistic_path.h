// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// A flight as the picture shows it, without metres. In pixels q of a picture that stands upright, from its centre:
//   q'' = gravity - k |q'| q',    seen at    p = centre + q / (1 + tilt . q).
// The second is what a camera looking up, or not square to the flight, does to a plane; it leaves parabolas conics. A
// row (in a picture turned by 90 degrees, a column) is exposed later than the time stamp says: a rolling shutter.
// Gravity is free: its size tells nothing before the scale is known. The model finds and judges; the lens's distortion
// and motion towards the camera stay in the residuals, so it does not measure.
struct BallisticPath {
  double start_s = 0.0;                                      // time of the state below
  Eigen::Vector2d from_centre_px = Eigen::Vector2d::Zero();  // q
  Eigen::Vector2d velocity_px_per_s = Eigen::Vector2d::Zero();
  Eigen::Vector2d gravity_px_per_s2 = Eigen::Vector2d::Zero();
  double drag_per_px = 0.0;  // k, never negative
  double readout_s = 0.0;
  Eigen::Vector2d tilt_per_px = Eigen::Vector2d::Zero();
};

// The picture's centre, and how its rows are read: the time of a point is its time stamp + readout * (start + axis .
// p).
struct PictureFrame {
  Eigen::Vector2d centre_px = Eigen::Vector2d::Zero();
  double longer_px = 1.0;
  Eigen::Vector2d share_per_px = Eigen::Vector2d::Zero();
  double start = 0.0;
};
// WIDTH, HEIGHT and ROTATION (clockwise, to upright) as in ClipInfo.
PictureFrame PictureFrameOf(int width_px, int height_px, int rotation_deg);

struct TimedPoint {
  double time_s = 0.0;  // time stamp
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  double unit_px = 1.0;  // so many count as one pixel of misfit: more for a camera that turned
};

struct PathState {
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  Eigen::Vector2d velocity_px_per_s = Eigen::Vector2d::Zero();
  double scale =
      1.0;  // how large the picture shows what lies along the path here, beside the picture's centre: |p'|/|q'|
};

// Where the path is at the frame's time stamp, the shutter allowed for. TIMES in rising order.
std::vector<PathState> StatesOnFrames(const BallisticPath& path,
                                      const PictureFrame& picture,
                                      const std::vector<double>& times_s);

struct PathFit {
  BallisticPath path;
  std::vector<double> residual_px;  // length, per point, in its units
  double rms_px = 0.0;              // of the points within the robust bound
  double gravity_std = 0.0;         // of gravity_px_per_s2, from the residuals
};

// Gauss-Newton (with Levenberg's damping) and a Huber loss that follows the residuals' own spread. POINTS (at least 5)
// in rising order of time; of many, an even choice of 60 is fitted. NEAR, where given, is a path to start from. Nothing
// where it does not settle.
std::optional<PathFit> FitBallisticPath(const std::vector<TimedPoint>& points,
                                        const PictureFrame& picture,
                                        const BallisticPath* near = nullptr);

}  // namespace loftline
