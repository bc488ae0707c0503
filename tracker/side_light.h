// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <vector>

#include <Eigen/Core>

namespace loftline {

// Where one frame's look puts the body across its path.
struct SideLook {
  double time_s = 0.0;
  Eigen::Vector2d normal = Eigen::Vector2d::UnitY();  // unit vector across the path, in the picture
  double offset_px = 0.0;                             // along the normal
  double side_px = 0.0;                               // by usual light from where the normal points (body_across.h)
};

// Light from one side. The sunlit half of a round body is brighter than the shaded one, so that what stands out before
// the sky is not the body's middle; before a dark tree the contrast has the other sign, and so has the shift. The body
// itself does not jump where it passes from one to the other, which tells how strong the light is and where it comes
// from: one vector of the picture for the whole flight, since the light turns with the scene, not with the body.
struct SideLight {
  Eigen::Vector2d strength = Eigen::Vector2d::Zero();  // towards the light, 1 the usual
  Eigen::Matrix2d cov = Eigen::Matrix2d::Identity();   // of it

  // How far the body seems to lie to the side, and the variance of that: SIDE_PX is not known better than to a share.
  double ShiftPx(const SideLook& look) const { return look.normal.dot(strength) * look.side_px; }
  double VariancePx2(const SideLook& look) const {
    constexpr double kSideShareStd = 0.4;
    const double unsure_px = kSideShareStd * ShiftPx(look);
    return look.normal.dot(cov * look.normal) * look.side_px * look.side_px + unsure_px * unsure_px;
  }
};

// Least squares with the usual light, from above, as prior; the true offsets are taken to change smoothly. With few
// looks, or before one background alone, nothing more is known.
SideLight EstimateSideLight(const std::vector<SideLook>& looks);

}  // namespace loftline
