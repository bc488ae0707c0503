// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/camera_motion.h"

#include <Eigen/Dense>

namespace loftline {

Eigen::Matrix3d FrameMotion::ReferenceFromRow(const Eigen::Vector2d& in_frame_px) const {
  if (still) return Eigen::Matrix3d::Identity();
  const Eigen::Matrix3d inverse = FrameFromReference(turn, view, view.RowShare(in_frame_px)).inverse();
  return inverse / inverse(2, 2);
}

Eigen::Vector2d FrameMotion::ReferencePxFromFrame(const Eigen::Vector2d& in_frame_px) const {
  if (still) return in_frame_px;
  return (ReferenceFromRow(in_frame_px) * in_frame_px.homogeneous()).hnormalized();
}

Eigen::Vector2d FrameMotion::FramePxFromReference(const Eigen::Vector2d& in_reference_px) const {
  if (still) return in_reference_px;
  return PxFromRay(turn, view, view.RayFromPx(in_reference_px));
}

Eigen::Matrix2d FrameMotion::ReferenceCovarianceAt(const Eigen::Vector2d& in_frame_px) const {
  const double row_share = view.RowShare(in_frame_px);
  const Eigen::Matrix3d reference_from_row = ReferenceFromRow(in_frame_px);
  const Eigen::Vector3d in_reference = reference_from_row * in_frame_px.homogeneous();
  TurnJacobian jacobian = TurnJacobianAt(turn, view, ReferenceRayFromFrame(turn, view, in_frame_px), row_share);
  PinholeView longer = view;
  longer.focal_px *= 1 + kFocalStep;
  const Eigen::Vector2d moved_px = (FrameFromReference(turn, longer, row_share) * in_reference).hnormalized();
  jacobian.col(6) = (moved_px - in_frame_px) / kFocalStep;
  // What the parameters move in the frame, carried over to the reference.
  const Eigen::Matrix2d scale = (reference_from_row.topLeftCorner<2, 2>() -
                                 in_reference.hnormalized() * reference_from_row.bottomLeftCorner<1, 2>()) /
                                in_reference.z();
  return scale * jacobian * covariance * jacobian.transpose() * scale.transpose();
}

FrameMotion FrameMotion::BesideItsNeighbours() const {
  FrameMotion beside = *this;
  beside.covariance.topLeftCorner<3, 3>() -= lens_std_rad * lens_std_rad.transpose();
  beside.lens_std_rad.setZero();
  return beside;
}

}  // namespace loftline
