// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/turn_fit.h"

#include <Eigen/Core>

namespace loftline {

// The focal length, which is the same in all frames, put together from what each says about it.
class FocalLearning {
 public:
  FocalLearning(double start_px, double start_log_std) : start_px_(start_px), start_log_std_(start_log_std) {}

  // A frame's fit with the focal length FOCAL_PX. False if it says too little.
  bool Learn(const TurnFit& fit, double focal_px);
  double focal_px() const;
  double log_std() const;

 private:
  double Worth() const;

  double start_px_, start_log_std_;
  double sum_ = 0.0, weight_ = 0.0, best_ = 0.0;
};

// The time from the exposure of the first row to that of the last, told by how turning bends the picture. Negative
// where rows run from the bottom up.
class ReadoutLearning {
 public:
  // How far the camera turns during the readout at a speed, for a fit's prior.
  void SetPrior(const Eigen::Vector2d& speed_rad_per_s, TurnFitOptions* options) const;
  // What a frame's fit says about it; learnt once the frame after has shown how fast the camera turned meanwhile.
  void Note(const TurnFit& fit, const TurnFitOptions& options);
  void Forget() { noted_ = false; }
  void LearnNoted(const Eigen::Vector2d& speed_rad_per_s);
  double readout_s() const { return solution_[0]; }

 private:
  Eigen::Matrix3d Covariance() const;

  // Readout (s) and, about x and y (rad), minus what the camera turned while the reference frame was read out, which is
  // in all landmarks that were taken from it.
  Eigen::Vector3d solution_ = Eigen::Vector3d::Zero();
  Eigen::Matrix3d matrix_ = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right_ = Eigen::Vector3d::Zero();
  bool noted_ = false;
  Eigen::Matrix2d noted_matrix_ = Eigen::Matrix2d::Zero();
  Eigen::Vector2d noted_right_ = Eigen::Vector2d::Zero();
};

}  // namespace loftline
