// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/camera_turn.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>
#include <Eigen/Geometry>

namespace loftline {
namespace {

// The turn on one row.
Eigen::Matrix3d OnRow(const CameraTurn& turn, double row_share) {
  const Eigen::Vector3d more(turn.readout_turn_rad.x() * row_share, turn.readout_turn_rad.y() * row_share, 0.0);
  return RotationFromVector(more) * turn.frame_from_reference;
}

}  // namespace

Eigen::Vector3d PinholeView::RayFromPx(const Eigen::Vector2d& at_px) const {
  const Eigen::Vector2d off = (at_px - middle_px) / focal_px;
  return {off.x(), off.y(), 1.0};
}

Eigen::Matrix3d RotationFromVector(const Eigen::Vector3d& turn_rad) {
  const double angle = turn_rad.norm();
  if (angle < 1e-12) return Eigen::Matrix3d::Identity();
  return Eigen::AngleAxisd(angle, turn_rad / angle).toRotationMatrix();
}

Eigen::Vector3d VectorFromRotation(const Eigen::Matrix3d& rotation) {
  const Eigen::AngleAxisd turn(rotation);
  return turn.angle() * turn.axis();
}

Eigen::Matrix3d FrameFromReference(const CameraTurn& turn, const PinholeView& view, double row_share) {
  Eigen::Matrix3d inner = Eigen::Matrix3d::Identity();
  inner.diagonal().head<2>().setConstant(view.focal_px);
  inner.topRightCorner<2, 1>() = view.middle_px;
  Eigen::Matrix3d outer = inner;
  outer.diagonal().head<2>() *= 1 + turn.swell;
  const Eigen::Matrix3d all = outer * OnRow(turn, row_share) * inner.inverse();
  return all / all(2, 2);
}

Eigen::Vector2d PxOnRow(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector3d& ray, double row_share) {
  Eigen::Vector3d seen = turn.frame_from_reference * ray;
  const Eigen::Vector2d more = row_share * turn.readout_turn_rad;
  seen += Eigen::Vector3d(more.x(), more.y(), 0.0).cross(seen);  // below 0.02 rad: the square is nothing
  return view.middle_px + (1 + turn.swell) * view.focal_px / std::max(seen.z(), 1e-3) * seen.head<2>();
}

Eigen::Vector2d PxFromRay(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector3d& ray) {
  Eigen::Vector2d at_px = PxOnRow(turn, view, ray, 0.0);
  // Each round shrinks what is left by (speed in rows) / (speed of the readout), a few hundredths.
  for (int i = 0; i < 3; ++i) at_px = PxOnRow(turn, view, ray, std::clamp(view.RowShare(at_px), -1.0, 1.0));
  return at_px;
}

Eigen::Vector3d ReferenceRayFromFrame(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector2d& at_px) {
  const Eigen::Vector3d seen = view.RayFromPx(view.middle_px + (at_px - view.middle_px) / (1 + turn.swell));
  const Eigen::Vector2d more = view.RowShare(at_px) * turn.readout_turn_rad;
  const Eigen::Vector3d on_middle_row = seen - Eigen::Vector3d(more.x(), more.y(), 0.0).cross(seen);
  return turn.frame_from_reference.transpose() * on_middle_row;
}

Eigen::Matrix3d WithOtherFocal(const Eigen::Matrix3d& rotation, double focal_ratio) {
  // Rotation = roll about z after a tilt of the axis. Keys follow each other in steps that are small beside f, each of
  // which was seen in pixels: it is f times the angle that was measured.
  const Eigen::Vector3d axis = rotation.col(2);
  const double sideways = axis.head<2>().norm();
  if (sideways < 1e-9) return rotation;
  const Eigen::Vector3d about = Eigen::Vector3d(-axis.y(), axis.x(), 0.0) / sideways;
  const double tilt_rad = std::atan2(sideways, axis.z());
  return Eigen::AngleAxisd(tilt_rad / focal_ratio - tilt_rad, about).toRotationMatrix() * rotation;
}

TurnJacobian TurnJacobianAt(const CameraTurn& turn,
                            const PinholeView& view,
                            const Eigen::Vector3d& ray,
                            double row_share) {
  const double focal_px = (1 + turn.swell) * view.focal_px;
  const Eigen::Vector2d off_px = PxOnRow(turn, view, ray, row_share) - view.middle_px;
  const double u = off_px.x() / focal_px;
  const double v = off_px.y() / focal_px;
  Eigen::Matrix<double, 2, 3> turning;
  turning << -u * v, 1 + u * u, -v, -(1 + v * v), u * v, u;
  TurnJacobian jacobian = TurnJacobian::Zero();
  jacobian.leftCols<3>() = focal_px * turning;
  jacobian.col(3) = off_px;
  jacobian.block<2, 2>(0, 4) = row_share * jacobian.leftCols<2>();
  return jacobian;
}

}  // namespace loftline
