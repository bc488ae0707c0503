// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/aligned_path.h"

#include <vector>

namespace loftline {

// The motion, by the fit's own model, whose path comes nearest to the simulator's, and how near: what drag the
// simulator's flight shows, whatever it computed with. Least squares over MOMENTS, all of which the table covers; what
// the path leaves open (a wind is nearly a drag) stays near the measured motion's.
struct EquivalentMotion {
  MotionVector values = MotionVector::Zero();  // flies right
  bool found = false;
  Eigen::VectorXd off_m;  // the simulator's path less that motion's: (along, up) of each moment
};
EquivalentMotion EquivalentOf(const AlignedPath& aligned,
                              const FittedMotion& motion,
                              const std::vector<FlownMoment>& moments);

}  // namespace loftline
