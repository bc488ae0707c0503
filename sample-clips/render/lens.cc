// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/lens.h"

#include <cmath>
#include <numbers>

#include <Eigen/Geometry>

namespace loftline::render {
namespace {
constexpr double kRadPerDeg = std::numbers::pi / 180.0;
}

Lens::Lens(const CameraPlace& place, const Picture& picture)
    : Lens(place,
           picture.width_px / 2.0 / std::tan(place.horizontal_view_deg / 2 * kRadPerDeg),
           {(picture.width_px - 1) / 2.0, (picture.height_px - 1) / 2.0}) {}

Lens::Lens(const CameraPlace& place, double focal_px, const Eigen::Vector2d& middle_px)
    : place_(place),
      focal_px_(focal_px),
      middle_px_(middle_px),
      centre_m_(place.x_m, place.height_m, place.distance_m) {
  const double yaw = place.yaw_deg * kRadPerDeg, tilt = place.tilt_deg * kRadPerDeg, roll = place.roll_deg * kRadPerDeg;
  const Eigen::Vector3d forward(std::cos(tilt) * std::sin(yaw), std::sin(tilt), -std::cos(tilt) * std::cos(yaw));
  const Eigen::Vector3d level_right(std::cos(yaw), 0.0, std::sin(yaw));
  const Eigen::Vector3d level_down = forward.cross(level_right);
  cam_from_world_.row(0) = std::cos(roll) * level_right + std::sin(roll) * level_down;
  cam_from_world_.row(1) = -std::sin(roll) * level_right + std::cos(roll) * level_down;
  cam_from_world_.row(2) = forward;
}

double Lens::DepthOf(const Eigen::Vector3d& at_m) const {
  return cam_from_world_.row(2).dot(at_m - centre_m_);
}

Eigen::Vector2d Lens::Distort(const Eigen::Vector2d& ideal) const {
  const double x = ideal.x(), y = ideal.y();
  const double r2 = x * x + y * y;
  const double radial = 1 + place_.k1 * r2 + place_.k2 * r2 * r2;
  return {x * radial + 2 * place_.p1 * x * y + place_.p2 * (r2 + 2 * x * x),
          y * radial + place_.p1 * (r2 + 2 * y * y) + 2 * place_.p2 * x * y};
}

Eigen::Vector2d Lens::PxFromWorld(const Eigen::Vector3d& at_m) const {
  const Eigen::Vector3d in_cam = cam_from_world_ * (at_m - centre_m_);
  return focal_px_ * Distort(in_cam.head<2>() / in_cam.z()) + middle_px_;
}

Eigen::Vector2d Lens::UndistortedFromPx(const Eigen::Vector2d& px) const {
  const Eigen::Vector2d seen = (px - middle_px_) / focal_px_;
  Eigen::Vector2d ideal = seen;
  for (int i = 0; i < 8; ++i) ideal += seen - Distort(ideal);
  return ideal;
}

Eigen::Vector3d Lens::RayFromPx(const Eigen::Vector2d& px) const {
  return (cam_from_world_.transpose() * UndistortedFromPx(px).homogeneous()).normalized();
}

}  // namespace loftline::render
