// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/view_learning.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr double kLeastLogStd = 0.2;  // a frame that knows the focal length no better says nothing
constexpr double kIndependentSights =
    8;  // leaves sway together and lenses bend: more landmarks than so many help little
constexpr double kIndependentFrames = 3;  // and frames share their landmarks' errors
// A lens that bends straight lines by a pixel or two at the corners has no single focal length.
constexpr double kLensLogStd = 0.002;
constexpr double kReadoutStd_s = 0.02;       // phones take 0.005 to 0.03 s
constexpr double kUnevenTurn = 0.1;          // of a turn's speed, how much it changes within a readout
constexpr double kReferenceTurn_rad = 1e-3;  // while the reference frame was read out
constexpr double kLeastTurn_rad = 1e-4;

// d (readout turn) / d (readout, reference's own).
Eigen::Matrix<double, 2, 3> PerParameter(const Eigen::Vector2d& speed_rad_per_s) {
  Eigen::Matrix<double, 2, 3> jacobian;
  jacobian << speed_rad_per_s.x(), 1, 0, speed_rad_per_s.y(), 0, 1;
  return jacobian;
}

}  // namespace

bool FocalLearning::Learn(const TurnFit& fit, double focal_px) {
  const double noise2 = std::max(1.0, fit.noise_ratio * fit.noise_ratio);
  const double information =
      fit.focal_information / noise2 * std::min(1.0, kIndependentSights / std::max(1.0, fit.fitting));
  if (information < 1.0 / (kLeastLogStd * kLeastLogStd)) return false;
  sum_ += information * (std::log(focal_px) + std::clamp(fit.focal_log_alone, -0.3, 0.3));
  weight_ += information;
  best_ = std::max(best_, information);
  return true;
}

double FocalLearning::Worth() const {
  return std::min(weight_, kIndependentFrames * best_);
}

double FocalLearning::focal_px() const {
  if (weight_ <= 0) return start_px_;
  const double prior = 1.0 / (start_log_std_ * start_log_std_);
  return std::exp((prior * std::log(start_px_) + Worth() * sum_ / weight_) / (prior + Worth()));
}

double FocalLearning::log_std() const {
  const double learnt2 = 1.0 / (1.0 / (start_log_std_ * start_log_std_) + Worth());
  return std::sqrt(learnt2 + std::min(kLensLogStd, start_log_std_) * std::min(kLensLogStd, start_log_std_));
}

Eigen::Matrix3d ReadoutLearning::Covariance() const {
  const double turn = 1.0 / (kReferenceTurn_rad * kReferenceTurn_rad);
  const Eigen::Vector3d prior(1.0 / (kReadoutStd_s * kReadoutStd_s), turn, turn);
  return (matrix_ + Eigen::Matrix3d(prior.asDiagonal())).inverse();
}

void ReadoutLearning::SetPrior(const Eigen::Vector2d& speed_rad_per_s, TurnFitOptions* options) const {
  const Eigen::Matrix<double, 2, 3> jacobian = PerParameter(speed_rad_per_s);
  options->readout_turn_rad = jacobian * solution_;
  const double unsure2 = 0.5 * (jacobian * Covariance() * jacobian.transpose()).trace();
  options->readout_turn_std_rad = kLeastTurn_rad + kUnevenTurn * options->readout_turn_rad.norm() + std::sqrt(unsure2);
}

void ReadoutLearning::Note(const TurnFit& fit, const TurnFitOptions& options) {
  // What the frame alone says: the fit's result without the prior that went into it.
  const Eigen::Matrix2d fitted = fit.covariance.block<2, 2>(4, 4) * std::max(1.0, fit.noise_ratio * fit.noise_ratio);
  const double prior = 1.0 / (options.readout_turn_std_rad * options.readout_turn_std_rad);
  const Eigen::Matrix2d both = fitted.inverse();
  const Eigen::Matrix2d alone = both - prior * Eigen::Matrix2d::Identity();
  const Eigen::Vector2d right = both * fit.turn.readout_turn_rad - prior * options.readout_turn_rad;
  noted_ = alone.diagonal().minCoeff() > 0;
  // No turn is quite even, and frames share their landmarks' errors.
  const double other_std = kLeastTurn_rad + kUnevenTurn * options.readout_turn_rad.norm();
  const double share = 1.0 / (1.0 + alone.diagonal().mean() * other_std * other_std);
  noted_matrix_ = share * alone;
  noted_right_ = share * right;
}

void ReadoutLearning::LearnNoted(const Eigen::Vector2d& speed_rad_per_s) {
  if (!noted_) return;
  noted_ = false;
  const Eigen::Matrix<double, 2, 3> jacobian = PerParameter(speed_rad_per_s);
  matrix_ += jacobian.transpose() * noted_matrix_ * jacobian;
  right_ += jacobian.transpose() * noted_right_;
  solution_ = Covariance() * right_;
}

}  // namespace loftline
