// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/camera_turn.h"

#include <Eigen/Core>

namespace loftline {

// How the clouds drift: as one sky that turns evenly about the camera, learnt while the ground tells where the camera
// points, and believed when a panning camera shows nothing but sky.
class SkyDrift {
 public:
  // UNIT_PX: the size of a pixel of a 1080p clip in this clip's pixels.
  explicit SkyDrift(double unit_px) : unit_px_(unit_px) {}

  Eigen::Vector3d Turned(const Eigen::Vector3d& ray, double for_s) const {
    return ray + for_s * turn_rad_per_s_.cross(ray);
  }
  // One cloud, seen OFF_PX from where the drift known so far puts it AGE_S after it was first seen. PER_TURN is
  // d px / d (turn of the sky in the reference's axes); LOOK_S the time since the frame before, divided by the number
  // of clouds in it: the pose's error is in all of them.
  void Learn(const Eigen::Vector2d& off_px, const Eigen::Matrix<double, 2, 3>& per_turn, double age_s, double look_s);
  void Settle(double focal_px);
  Eigen::Matrix3d CovarianceRad2PerS2(double focal_px) const;
  const Eigen::Vector3d& turn_rad_per_s() const { return turn_rad_per_s_; }

 private:
  double unit_px_;
  Eigen::Vector3d turn_rad_per_s_ = Eigen::Vector3d::Zero();  // in the reference's axes
  Eigen::Matrix3d matrix_ = Eigen::Matrix3d::Zero();          // normal equations
  Eigen::Vector3d right_ = Eigen::Vector3d::Zero();
};

}  // namespace loftline
