// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <vector>

namespace loftline {

// How a clip's time stamps follow one another.
struct FrameSpacing {
  double usual_s = 0.0;                      // the median interval
  double shortest_s = 0.0, longest_s = 0.0;  // gaps apart
  double uneven_share = 0.0;                 // of the intervals, gaps apart, that differ from the usual one
  int gaps = 0;                              // intervals in which a frame or more is missing
  int missing_frames = 0;                    // in all of them
  double longest_gap_s = 0.0, longest_gap_from_s = 0.0;
};

// An interval differs where it is off by more than a tenth, and a gap is longer than one and a half usual intervals.
// Containers that round time stamps to milliseconds are allowed for. All zero for fewer than two frames.
FrameSpacing SpacingOf(const std::vector<double>& times_s);

}  // namespace loftline
