// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/camera_model.h"

#include <limits>

namespace loftline {

namespace {
const Eigen::Vector2d kNowhere = Eigen::Vector2d::Constant(std::numeric_limits<double>::quiet_NaN());
}

Eigen::Vector2d Camera::PxFromWorld(const Eigen::Vector3d& in_world_m) const {
  Eigen::Vector2d px = kNowhere;
  loftline::PxFromWorld(parameters.data(), principal_px(), in_world_m, &px);
  return px;
}

Eigen::Vector2d Camera::PxFromPlane(const Eigen::Vector2d& in_plane_m) const {
  return PxFromWorld({in_plane_m.x(), in_plane_m.y(), 0.0});
}

Eigen::Vector2d Camera::UndistortedFromPx(const Eigen::Vector2d& px) const {
  const Eigen::Vector2d seen = (px - principal_px()) / parameters[kFocalPx];
  Eigen::Vector2d ideal = seen;
  for (int i = 0; i < 100; ++i) {
    const Eigen::Vector2d correction = seen - Distorted(parameters.data(), ideal);
    ideal += correction;
    if (correction.squaredNorm() < 1e-24) break;
  }
  return ideal;
}

Eigen::Vector2d Camera::PlaneFromPx(const Eigen::Vector2d& px, double depth_m) const {
  const Eigen::Vector2d ideal = UndistortedFromPx(px);
  Eigen::Matrix3d cam_from_world;
  for (int axis = 0; axis < 3; ++axis) {
    const Eigen::Vector3d unit = Eigen::Vector3d::Unit(axis);
    cam_from_world.col(axis) = CamFromWorldDirection(parameters.data(), unit);
  }
  const Eigen::Vector3d ray_in_world = cam_from_world.transpose() * Eigen::Vector3d(ideal.x(), ideal.y(), 1.0);
  if (!(ray_in_world.z() < -1e-9)) return kNowhere;
  const double reach = (depth_m - parameters[kDistanceM]) / ray_in_world.z();
  return {parameters[kCameraXM] + reach * ray_in_world.x(), parameters[kCameraYM] + reach * ray_in_world.y()};
}

double HorizontalViewRad(double focal_px, int width_px) {
  return 2.0 * std::atan(width_px / (2.0 * focal_px));
}

double FocalPxFromView(double view_rad, int side_px) {
  return side_px / (2.0 * std::tan(view_rad / 2.0));
}

}  // namespace loftline
