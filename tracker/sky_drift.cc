// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/sky_drift.h"

#include <algorithm>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr double kUnseenStd_px_per_s = 10.0;  // before any cloud was seen; 10 m/s at a height of 1 km are 14 px/s
constexpr double kUnlikeStd_px_per_s = 0.7;   // of one cloud to another
constexpr double kLookStd_px = 0.7;
constexpr double kLooksPerSecond = 4.0;  // frame after frame sees the same cloud: a second is worth so many looks

}  // namespace

void SkyDrift::Learn(const Eigen::Vector2d& off_px,
                     const Eigen::Matrix<double, 2, 3>& per_turn,
                     double age_s,
                     double look_s) {
  const Eigen::Matrix<double, 2, 3> jacobian = age_s * per_turn;
  const double weight = kLooksPerSecond * std::min(0.1, look_s) / (unit_px_ * unit_px_ * kLookStd_px * kLookStd_px);
  matrix_ += weight * jacobian.transpose() * jacobian;
  right_ += weight * jacobian.transpose() * (off_px + jacobian * turn_rad_per_s_);
}

void SkyDrift::Settle(double focal_px) {
  const double prior = focal_px / (kUnseenStd_px_per_s * unit_px_);
  const Eigen::Matrix3d matrix = matrix_ + prior * prior * Eigen::Matrix3d::Identity();
  turn_rad_per_s_ = matrix.ldlt().solve(right_);
}

Eigen::Matrix3d SkyDrift::CovarianceRad2PerS2(double focal_px) const {
  const double prior = focal_px / (kUnseenStd_px_per_s * unit_px_);
  const double unlike = kUnlikeStd_px_per_s * unit_px_ / focal_px;
  const Eigen::Matrix3d matrix = matrix_ + prior * prior * Eigen::Matrix3d::Identity();
  return matrix.inverse() + unlike * unlike * Eigen::Matrix3d::Identity();
}

}  // namespace loftline
