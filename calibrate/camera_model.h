// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <cmath>

#include <Eigen/Core>

namespace loftline {

// The camera: a pinhole with Brown distortion as OpenCV defines it (k1, k2, p1, p2), square pixels, the principal point
// in the middle of the picture, looking at the flight plane.
//
// world: x to the camera's right along the flight plane, y up against gravity, z from the plane towards the camera,
// metres, origin at the launch point. cam: x right, y down, z forward. With all angles zero the camera looks along -z.
// The pose is yaw (to the camera's right), then tilt (up), then roll (clockwise as the camera's user sees it), radians.
enum CameraParameter {
  kFocalPx,
  kK1,
  kK2,
  kP1,
  kP2,
  kYawRad,
  kTiltRad,
  kRollRad,
  kCameraXM,
  kCameraYM,
  kDistanceM,  // of the camera from the flight plane, along its normal
  kCameraSize
};
using CameraVector = Eigen::Matrix<double, kCameraSize, 1>;
using CameraMatrix = Eigen::Matrix<double, kCameraSize, kCameraSize>;

// Rotates a direction from world to cam axes: yaw, then tilt, then roll.
template <typename T>
Eigen::Matrix<T, 3, 1> CamFromWorldDirection(const T* camera, const Eigen::Matrix<T, 3, 1>& in_world) {
  using std::cos;
  using std::sin;
  const T& x0 = in_world[0];
  const T y0 = -in_world[1], z0 = -in_world[2];
  const T cos_yaw = cos(camera[kYawRad]), sin_yaw = sin(camera[kYawRad]);
  const T x1 = cos_yaw * x0 - sin_yaw * z0, z1 = sin_yaw * x0 + cos_yaw * z0;
  const T cos_tilt = cos(camera[kTiltRad]), sin_tilt = sin(camera[kTiltRad]);
  const T y2 = cos_tilt * y0 + sin_tilt * z1, z2 = cos_tilt * z1 - sin_tilt * y0;
  const T cos_roll = cos(camera[kRollRad]), sin_roll = sin(camera[kRollRad]);
  return {cos_roll * x1 + sin_roll * y2, cos_roll * y2 - sin_roll * x1, z2};
}

// Brown distortion of a point on the plane z = 1 of the cam frame.
template <typename T>
Eigen::Matrix<T, 2, 1> Distorted(const T* camera, const Eigen::Matrix<T, 2, 1>& ideal) {
  const T &x = ideal[0], &y = ideal[1];
  const T r2 = x * x + y * y;
  const T radial = T(1.0) + r2 * (camera[kK1] + r2 * camera[kK2]);
  return {x * radial + T(2.0) * camera[kP1] * x * y + camera[kP2] * (r2 + T(2.0) * x * x),
          y * radial + camera[kP1] * (r2 + T(2.0) * y * y) + T(2.0) * camera[kP2] * x * y};
}

// Projects a world point to pixels (the top-left pixel's centre is (0, 0)). False where the point is not in front of
// the camera; px is then untouched.
template <typename T>
bool PxFromWorld(const T* camera,
                 const Eigen::Vector2d& principal_px,
                 const Eigen::Matrix<T, 3, 1>& in_world_m,
                 Eigen::Matrix<T, 2, 1>* px) {
  const Eigen::Matrix<T, 3, 1> from_camera(
      in_world_m[0] - camera[kCameraXM], in_world_m[1] - camera[kCameraYM], in_world_m[2] - camera[kDistanceM]);
  const Eigen::Matrix<T, 3, 1> in_cam = CamFromWorldDirection(camera, from_camera);
  if (!(in_cam[2] > T(1e-6))) return false;
  const Eigen::Matrix<T, 2, 1> ideal(in_cam[0] / in_cam[2], in_cam[1] / in_cam[2]);
  const Eigen::Matrix<T, 2, 1> distorted = Distorted(camera, ideal);
  *px = {camera[kFocalPx] * distorted[0] + principal_px[0], camera[kFocalPx] * distorted[1] + principal_px[1]};
  return true;
}

// The rotation from world to cam axes and its derivatives by yaw, tilt and roll, to project many points with.
struct CameraRotation {
  Eigen::Matrix3d cam_from_world = Eigen::Matrix3d::Identity();
  Eigen::Matrix3d by_yaw, by_tilt, by_roll;
};
CameraRotation RotationOf(const double* camera);

// A world point's pixel, and its derivatives by the camera's parameters and by the point.
struct Projection {
  Eigen::Vector2d px;
  Eigen::Matrix<double, 2, kCameraSize> by_camera;
  Eigen::Matrix<double, 2, 3> by_world;
};
// The same as PxFromWorld, by hand, for it is done for every point of every step of a fit. False where the point is not
// in front of the camera.
bool Project(const double* camera,
             const CameraRotation& rotation,
             const Eigen::Vector2d& principal_px,
             const Eigen::Vector3d& in_world_m,
             Projection* projection);

// A camera with numbers in it.
struct Camera {
  int width_px = 0;
  int height_px = 0;
  CameraVector parameters = CameraVector::Zero();
  CameraMatrix covariance = CameraMatrix::Zero();

  Eigen::Vector2d principal_px() const { return {(width_px - 1) / 2.0, (height_px - 1) / 2.0}; }

  // NaN where the point is behind the camera.
  Eigen::Vector2d PxFromWorld(const Eigen::Vector3d& in_world_m) const;
  Eigen::Vector2d PxFromPlane(const Eigen::Vector2d& in_plane_m) const;
  // Where the ray through a pixel meets the plane z = depth_m; NaN where it does not. Undoes the distortion by
  // fixed-point iteration to 1e-12, which converges for every lens whose distortion is monotone over the picture.
  Eigen::Vector2d PlaneFromPx(const Eigen::Vector2d& px, double depth_m = 0.0) const;
  Eigen::Vector2d UndistortedFromPx(const Eigen::Vector2d& px) const;  // on the plane z = 1 of the cam frame
};

double HorizontalViewRad(double focal_px, int width_px);
double FocalPxFromView(double view_rad, int side_px);

}  // namespace loftline
