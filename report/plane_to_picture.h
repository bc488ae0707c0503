// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <optional>
#include <vector>

#include <Eigen/Geometry>

namespace loftline {

// The picture of the flight plane, for drawing a ruler beside the path: pixels (upright) from metres in the plane.
// A plane through a pinhole camera is a homography, and a curved path fixes one; nothing here measures.
class PlaneToPicture {
 public:
  explicit PlaneToPicture(const Eigen::Matrix3d& px_from_plane) : px_from_plane_(px_from_plane) {}
  Eigen::Vector2d PxFromPlane(const Eigen::Vector2d& in_plane_m) const {
    return (px_from_plane_ * in_plane_m.homogeneous()).hnormalized();
  }

 private:
  Eigen::Matrix3d px_from_plane_;
};

// From the samples of a fitted path. Nothing where the path is too straight or short to fix a homography, or misses its
// own samples by more than a few pixels (strong lens distortion): a ruler drawn from it would lie.
std::optional<PlaneToPicture> FindPlaneToPicture(const std::vector<PathSample>& path);

}  // namespace loftline
