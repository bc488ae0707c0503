// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/body_patch.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// Compression leaves neighbours alike: sums are noisier than independent pixels would make them.
inline constexpr double kCorrelatedNoise = 1.5;

// A patch turned into the path's axes: columns along (a = -reach..reach px from where the body is expected), rows
// across (b = -half..half px).
struct BodyStrip {
  Eigen::MatrixXd difference;  // picture minus background, grey levels
  Eigen::VectorXd background;  // on the axis, grey levels
  std::vector<char> valid;     // per column: inside the patch
  Eigen::Vector2d axis = Eigen::Vector2d::UnitX();
  double noise = 0.0;  // of a pixel, grey levels
  int valid_columns = 0;
};

// EXPECTED_PX: where the body should be, in the picture; AXIS: unit vector of its motion.
BodyStrip CutStrip(
    const BodyPatch& patch, const Eigen::Vector2d& expected_px, const Eigen::Vector2d& axis, int reach, int half);

}  // namespace loftline
