// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/path_noise.h"

#include "core/covariance_root.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Dense>

namespace loftline {
namespace {

// Normal in the time between two points, and as wide as makes the mean over the flight vary like that of so many
// independent errors.
Eigen::MatrixXd SlowCorrelation(const std::vector<SeenPoint>& points) {
  const auto count = static_cast<Eigen::Index>(points.size());
  const double duration_s = points.back().stamp_s - points.front().stamp_s;
  const double width_s = duration_s / kSlowErrorsPerFlight / std::sqrt(2.0 * std::numbers::pi);
  Eigen::VectorXd widths(count);
  for (Eigen::Index i = 0; i < count; ++i) widths[i] = points[static_cast<std::size_t>(i)].stamp_s / width_s;
  Eigen::MatrixXd correlation(count, count);
  for (Eigen::Index i = 0; i < count; ++i) {
    correlation.col(i) = (-0.5 * (widths.array() - widths[i]).square()).exp();
  }
  return correlation;
}

// Where in the solution's residuals those of the points stand.
std::vector<Eigen::Index> PathColumns(const FlightSolution& solution) {
  std::vector<Eigen::Index> columns;
  for (std::size_t i = 0; i < solution.sources.size(); ++i) {
    if (solution.sources[i] == kPathNoise) columns.push_back(static_cast<Eigen::Index>(i));
  }
  return columns;
}

}  // namespace

double PointsPerSlowError(std::size_t count) {
  return std::max(1.0, static_cast<double>(count) / kSlowErrorsPerFlight);
}

PathNoise::PathNoise(const std::vector<SeenPoint>& scaled) : correlation_(SlowCorrelation(scaled)) {
  const double whitened_by = PointsPerSlowError(scaled.size());
  const Eigen::Matrix2d slow_px2 = kSlowErrorPx * kSlowErrorPx * Eigen::Matrix2d::Identity();
  for (const SeenPoint& point : scaled) {
    const Eigen::Matrix2d whiten = point.cov_px2.inverse().llt().matrixU();
    const Eigen::Matrix2d own_px2 = point.cov_px2 - whitened_by * (slow_px2 + point.pose_cov_px2);
    parts_.push_back(
        {whiten * CovarianceRoot<2>(own_px2), whiten * kSlowErrorPx, whiten * CovarianceRoot<2>(point.pose_cov_px2)});
  }
  // A hair on the diagonal: neighbours on a fast clip are as good as one.
  const auto count = correlation_.rows();
  correlation_root_ = (correlation_ + 1e-9 * Eigen::MatrixXd::Identity(count, count)).llt().matrixL();
}

MotionMatrix PathNoise::MotionCovariance(const FlightSolution& solution) const {
  const std::vector<Eigen::Index> columns = PathColumns(solution);
  const auto count = static_cast<Eigen::Index>(parts_.size());
  Eigen::MatrixXd by_slow[2], by_pose[2];
  for (int axis = 0; axis < 2; ++axis) by_slow[axis] = by_pose[axis] = Eigen::MatrixXd(kMotionSize, count);
  MotionMatrix covariance = MotionMatrix::Zero();
  for (Eigen::Index i = 0; i < count; ++i) {
    const Part& part = parts_[static_cast<std::size_t>(i)];
    const auto influence = solution.motion_influence.middleCols<2>(columns[2 * static_cast<std::size_t>(i)]);
    const Eigen::Matrix<double, kMotionSize, 2> own = influence * part.own;
    covariance += own * own.transpose();
    for (int axis = 0; axis < 2; ++axis) {
      by_slow[axis].col(i) = influence * part.slow.col(axis);
      by_pose[axis].col(i) = influence * part.pose.col(axis);
    }
  }
  for (int axis = 0; axis < 2; ++axis) {
    covariance += by_slow[axis] * correlation_ * by_slow[axis].transpose();
    covariance += by_pose[axis] * correlation_ * by_pose[axis].transpose();
  }
  return covariance;
}

FlightSolution PathNoise::Judged(const FlightSolution& solution) const {
  const MotionMatrix root = CovarianceRoot<kMotionSize>(MotionCovariance(solution));
  FlightSolution judged = solution;
  judged.sources.clear();
  judged.motion_influence = Eigen::MatrixXd(kMotionSize, solution.motion_influence.cols());
  Eigen::Index kept = 0;
  const auto add = [&](const MotionVector& column, const std::string& source) {
    judged.motion_influence.col(kept++) = column;
    judged.sources.push_back(source);
  };
  for (std::size_t i = 0; i < solution.sources.size(); ++i) {
    if (solution.sources[i] == kPathNoise) continue;
    add(solution.motion_influence.col(static_cast<Eigen::Index>(i)), solution.sources[i]);
  }
  for (int i = 0; i < kMotionSize; ++i) {
    add(root.col(i), kPathNoise);
  }
  judged.motion_influence.conservativeResize(Eigen::NoChange, kept);
  judged.motion_covariance = judged.motion_influence * judged.motion_influence.transpose();
  return judged;
}

std::vector<double> PathNoise::Draw(double own_scale, RandomDraws* draws) const {
  const auto count = static_cast<Eigen::Index>(parts_.size());
  Eigen::MatrixXd slow(count, 4);  // of the body in x and y, of the pose in x and y
  for (Eigen::Index i = 0; i < count; ++i) {
    for (int j = 0; j < 4; ++j) slow(i, j) = draws->Normal(0.0, 1.0);
  }
  slow = (correlation_root_ * slow).eval();
  std::vector<double> errors;
  for (Eigen::Index i = 0; i < count; ++i) {
    const Part& part = parts_[static_cast<std::size_t>(i)];
    const Eigen::Vector2d own(draws->Normal(0.0, own_scale), draws->Normal(0.0, own_scale));
    const Eigen::Vector2d error =
        part.own * own + part.slow * slow.row(i).head<2>().transpose() + part.pose * slow.row(i).tail<2>().transpose();
    errors.insert(errors.end(), {error.x(), error.y()});
  }
  return errors;
}

}  // namespace loftline
