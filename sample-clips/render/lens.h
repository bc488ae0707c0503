// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/scene.h"

#include <Eigen/Core>

namespace loftline::render {

// Pinhole with Brown's radial and tangential distortion (D. C. Brown, Close-range camera calibration, Photogrammetric
// Engineering 37, 1971), pose yaw, then tilt, then roll. Pixels of the upright picture, (0, 0) the top-left pixel's
// centre.
class Lens {
 public:
  Lens(const CameraPlace& place, const Picture& picture);
  // Of a picture of any size and part: MIDDLE_PX is where the optical axis meets it.
  Lens(const CameraPlace& place, double focal_px, const Eigen::Vector2d& middle_px);

  Eigen::Vector2d PxFromWorld(const Eigen::Vector3d& at_m) const;  // meaningful where DepthOf is above zero
  double DepthOf(const Eigen::Vector3d& at_m) const;               // metres along the optical axis
  double PxPerMAt(const Eigen::Vector3d& at_m) const { return focal_px_ / DepthOf(at_m); }
  Eigen::Vector3d RayFromPx(const Eigen::Vector2d& px) const;          // unit vector in the world
  Eigen::Vector2d UndistortedFromPx(const Eigen::Vector2d& px) const;  // x and y at a depth of one
  const Eigen::Vector3d& centre_m() const { return centre_m_; }
  const CameraPlace& place() const { return place_; }
  double focal_px() const { return focal_px_; }
  const Eigen::Vector2d& middle_px() const { return middle_px_; }
  const Eigen::Matrix3d& cam_from_world() const { return cam_from_world_; }

 private:
  Eigen::Vector2d Distort(const Eigen::Vector2d& ideal) const;

  CameraPlace place_;
  double focal_px_;
  Eigen::Vector2d middle_px_;
  Eigen::Vector3d centre_m_;
  Eigen::Matrix3d cam_from_world_;  // rows: right, down, forward
};

}  // namespace loftline::render
