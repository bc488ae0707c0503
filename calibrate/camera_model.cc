// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/camera_model.h"

#include <limits>

namespace loftline {

CameraRotation RotationOf(const double* camera) {
  const double cos_yaw = std::cos(camera[kYawRad]), sin_yaw = std::sin(camera[kYawRad]);
  const double cos_tilt = std::cos(camera[kTiltRad]), sin_tilt = std::sin(camera[kTiltRad]);
  const double cos_roll = std::cos(camera[kRollRad]), sin_roll = std::sin(camera[kRollRad]);
  Eigen::Matrix3d yaw, tilt, roll, facing, by_yaw, by_tilt, by_roll;
  facing << 1, 0, 0, 0, -1, 0, 0, 0, -1;
  yaw << cos_yaw, 0, -sin_yaw, 0, 1, 0, sin_yaw, 0, cos_yaw;
  tilt << 1, 0, 0, 0, cos_tilt, sin_tilt, 0, -sin_tilt, cos_tilt;
  roll << cos_roll, sin_roll, 0, -sin_roll, cos_roll, 0, 0, 0, 1;
  by_yaw << -sin_yaw, 0, -cos_yaw, 0, 0, 0, cos_yaw, 0, -sin_yaw;
  by_tilt << 0, 0, 0, 0, -sin_tilt, cos_tilt, 0, -cos_tilt, -sin_tilt;
  by_roll << -sin_roll, cos_roll, 0, -cos_roll, -sin_roll, 0, 0, 0, 0;
  return {roll * tilt * yaw * facing,
          roll * tilt * by_yaw * facing,
          roll * by_tilt * yaw * facing,
          by_roll * tilt * yaw * facing};
}

bool Project(const double* camera,
             const CameraRotation& rotation,
             const Eigen::Vector2d& principal_px,
             const Eigen::Vector3d& in_world_m,
             Projection* projection) {
  const Eigen::Vector3d from_camera_m =
      in_world_m - Eigen::Vector3d(camera[kCameraXM], camera[kCameraYM], camera[kDistanceM]);
  const Eigen::Vector3d in_cam_m = rotation.cam_from_world * from_camera_m;
  const double z = in_cam_m.z();
  if (!(z > 1e-6)) return false;
  const double x = in_cam_m.x() / z, y = in_cam_m.y() / z, r2 = x * x + y * y;
  const double focal = camera[kFocalPx], k1 = camera[kK1], k2 = camera[kK2], p1 = camera[kP1], p2 = camera[kP2];
  const double radial = 1.0 + r2 * (k1 + r2 * k2), radial_by_r2 = k1 + 2.0 * k2 * r2;
  const Eigen::Vector2d distorted(x * radial + 2.0 * p1 * x * y + p2 * (r2 + 2.0 * x * x),
                                  y * radial + p1 * (r2 + 2.0 * y * y) + 2.0 * p2 * x * y);
  projection->px = focal * distorted + principal_px;

  Eigen::Matrix2d by_ideal;
  const double mixed = 2.0 * (x * y * radial_by_r2 + p1 * x + p2 * y);
  by_ideal << radial + 2.0 * x * x * radial_by_r2 + 2.0 * p1 * y + 6.0 * p2 * x, mixed,  //
      mixed, radial + 2.0 * y * y * radial_by_r2 + 6.0 * p1 * y + 2.0 * p2 * x;
  Eigen::Matrix<double, 2, 3> ideal_by_cam;
  ideal_by_cam << 1.0 / z, 0.0, -x / z, 0.0, 1.0 / z, -y / z;
  const Eigen::Matrix<double, 2, 3> by_cam = focal * by_ideal * ideal_by_cam;
  projection->by_world = by_cam * rotation.cam_from_world;
  auto& by_camera = projection->by_camera;
  by_camera.col(kFocalPx) = distorted;
  by_camera.col(kK1) = focal * r2 * Eigen::Vector2d(x, y);
  by_camera.col(kK2) = focal * r2 * r2 * Eigen::Vector2d(x, y);
  by_camera.col(kP1) = focal * Eigen::Vector2d(2.0 * x * y, r2 + 2.0 * y * y);
  by_camera.col(kP2) = focal * Eigen::Vector2d(r2 + 2.0 * x * x, 2.0 * x * y);
  by_camera.col(kYawRad) = by_cam * (rotation.by_yaw * from_camera_m);
  by_camera.col(kTiltRad) = by_cam * (rotation.by_tilt * from_camera_m);
  by_camera.col(kRollRad) = by_cam * (rotation.by_roll * from_camera_m);
  by_camera.middleCols<3>(kCameraXM) = -projection->by_world;
  return true;
}

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
