// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <vector>

namespace loftline {

// One frame's measurement of something that changes smoothly from frame to frame, with the variance it claims.
struct ScatterLook {
  int frame = 0;
  double value = 0.0;
  double variance = 1.0;
};

// How much larger (or smaller) than claimed the measurements' own scatter is, as a factor on their standard deviations:
// each is compared with the mean of those four frames before and after it, which holds all errors that change within a
// few frames. LOOKS by frame; 1 with too few of them.
double ScatterScale(const std::vector<ScatterLook>& looks);

}  // namespace loftline
