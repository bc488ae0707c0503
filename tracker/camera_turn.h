// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <Eigen/Core>

namespace loftline {

// How a camera that is turned by hand shows a far scene. In pixels from the picture's middle and with rays in the
// reference frame's camera axes (x right, y down, z forward):
//   frame_px = (1 + swell) f (x / z, y / z),   (x, y, z) = exp(row_share * readout_turn) frame_from_reference ray
// Rows (in portrait clips: columns) are exposed one after another; row_share runs from -1/2 on the first to 1/2 on the
// last, and the camera turns evenly meanwhile. swell is left for a step towards the scene and for a lens that breathes.
// Two parameters more would make frame_from_reference a full homography. Both are fixed by the turn and f; free, they
// would swing where only a strip along the ground has texture and the sky above it has none.
struct CameraTurn {
  Eigen::Matrix3d frame_from_reference = Eigen::Matrix3d::Identity();  // on the middle row
  Eigen::Vector2d readout_turn_rad = Eigen::Vector2d::Zero();          // about x and y, from the first to the last row
  double swell = 0.0;
};

struct PinholeView {
  Eigen::Vector2d middle_px = Eigen::Vector2d::Zero();
  double focal_px = 1.0;
  Eigen::Vector2d row_share_per_px = Eigen::Vector2d::Zero();  // (0, 1 / height), or (1 / width, 0) where rows stand up

  double RowShare(const Eigen::Vector2d& at_px) const { return row_share_per_px.dot(at_px - middle_px); }
  Eigen::Vector3d RayFromPx(const Eigen::Vector2d& at_px) const;
};

Eigen::Matrix3d RotationFromVector(const Eigen::Vector3d& turn_rad);
Eigen::Vector3d VectorFromRotation(const Eigen::Matrix3d& rotation);

// For the pixels of one row; of the middle row unless told otherwise.
Eigen::Matrix3d FrameFromReference(const CameraTurn& turn, const PinholeView& view, double row_share = 0.0);
// Where a ray shows on a row.
Eigen::Vector2d PxOnRow(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector3d& ray, double row_share);
// Where a ray shows, on whichever row that is.
Eigen::Vector2d PxFromRay(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector3d& ray);
// Where the camera's ray through a pixel of the frame points, in the reference's axes.
Eigen::Vector3d ReferenceRayFromFrame(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector2d& at_px);
// The same movement of the picture told with another focal length.
Eigen::Matrix3d WithOtherFocal(const Eigen::Matrix3d& rotation, double focal_ratio);

// Order of parameters in every Jacobian and covariance here: turn about x, y, z (rad, in the frame's camera axes,
// applied last), swell, readout turn about x, y, log f.
constexpr int kTurnSize = 7;
using TurnMatrix = Eigen::Matrix<double, kTurnSize, kTurnSize>;
using TurnJacobian = Eigen::Matrix<double, 2, kTurnSize>;

constexpr double kFocalStep = 1e-3;  // of log f, for numeric derivatives

// d frame_px / d parameters at a ray, all but the last column (which depends on how the ray came about).
TurnJacobian TurnJacobianAt(const CameraTurn& turn,
                            const PinholeView& view,
                            const Eigen::Vector3d& ray,
                            double row_share);

}  // namespace loftline
