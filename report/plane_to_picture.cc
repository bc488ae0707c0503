// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/plane_to_picture.h"

#include <algorithm>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr std::size_t kFewestSamples = 8;
constexpr double kMostMiss_px = 3.0;
// Ratio of the two smallest singular values of the design matrix below which a second homography fits as well.
constexpr double kWorstConditioned = 1e-7;

// Brings points to zero mean and unit size, without which the design matrix below is badly scaled (Hartley, "In defense
// of the eight-point algorithm", IEEE PAMI 19, 1997).
Eigen::Matrix3d Normalizing(const std::vector<Eigen::Vector2d>& points) {
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  for (const Eigen::Vector2d& point : points) mean += point;
  mean /= static_cast<double>(points.size());
  double spread = 0.0;
  for (const Eigen::Vector2d& point : points) spread += (point - mean).norm();
  const double scale = spread > 0.0 ? static_cast<double>(points.size()) / spread : 1.0;
  Eigen::Matrix3d normalizing = Eigen::Matrix3d::Identity();
  normalizing.topLeftCorner<2, 2>() *= scale;
  normalizing.topRightCorner<2, 1>() = -scale * mean;
  return normalizing;
}

double LargestMiss_px(const PlaneToPicture& map,
                      const std::vector<Eigen::Vector2d>& in_plane_m,
                      const std::vector<Eigen::Vector2d>& in_px) {
  double largest_px = 0.0;
  for (std::size_t i = 0; i < in_px.size(); ++i) {
    largest_px = std::max(largest_px, (map.PxFromPlane(in_plane_m[i]) - in_px[i]).norm());
  }
  return largest_px;
}

}  // namespace

std::optional<PlaneToPicture> FindPlaneToPicture(const std::vector<PathSample>& path) {
  std::vector<Eigen::Vector2d> in_plane_m;
  std::vector<Eigen::Vector2d> in_px;
  for (const PathSample& sample : path) {
    if (!sample.in_plane_m.allFinite() || !sample.in_px.allFinite()) continue;
    in_plane_m.push_back(sample.in_plane_m);
    in_px.push_back(sample.in_px);
  }
  if (in_px.size() < kFewestSamples) return std::nullopt;

  // Direct linear transform: u x (H X) = 0, two rows a point (Hartley & Zisserman, Multiple View Geometry, eq. 4.3).
  const Eigen::Matrix3d plane_norm = Normalizing(in_plane_m);
  const Eigen::Matrix3d px_norm = Normalizing(in_px);
  Eigen::Matrix<double, 9, 9> normal = Eigen::Matrix<double, 9, 9>::Zero();
  for (std::size_t i = 0; i < in_px.size(); ++i) {
    const Eigen::RowVector3d x = (plane_norm * in_plane_m[i].homogeneous()).transpose();
    const Eigen::Vector3d u = px_norm * in_px[i].homogeneous();
    Eigen::Matrix<double, 2, 9> rows = Eigen::Matrix<double, 2, 9>::Zero();
    rows.block<1, 3>(0, 3) = -x;
    rows.block<1, 3>(0, 6) = u.y() * x;
    rows.block<1, 3>(1, 0) = x;
    rows.block<1, 3>(1, 6) = -u.x() * x;
    normal += rows.transpose() * rows;
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, 9, 9>> solver(normal);
  if (solver.info() != Eigen::Success || solver.eigenvalues()(1) < kWorstConditioned * solver.eigenvalues()(8)) {
    return std::nullopt;
  }
  const Eigen::Matrix<double, 9, 1> h = solver.eigenvectors().col(0);
  Eigen::Matrix3d homography;
  homography << h(0), h(1), h(2), h(3), h(4), h(5), h(6), h(7), h(8);
  const PlaneToPicture map(px_norm.inverse() * homography * plane_norm);
  if (LargestMiss_px(map, in_plane_m, in_px) > kMostMiss_px) return std::nullopt;
  return map;
}

}  // namespace loftline
