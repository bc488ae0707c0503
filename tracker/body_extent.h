// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <vector>

namespace loftline {

// Of the greatest contrast: fainter is no body.
inline constexpr double kFaintShare = 0.08;

// Where a body begins and ends along its path.
struct BodyExtent {
  double middle_px = 0.0, length_px = 1.0;
  // What the shape of the ends leaves open of the middle. All frames share that error.
  double middle_std_px = 0.0;
};

// CONTRAST: what a body shows at places 1 px apart, tail first, nothing at both ends. SEEN_ANYWHERE: places that stand
// out before some background of the flight; they bridge a gap, such as a white middle before a cloud. The middle is in
// places from the first.
//
// The tail ends sharply: half of what the fins show is where the blur has its middle. Noses taper, so that their last
// part is too narrow to show: the tip is found by extending the fall.
BodyExtent FindBodyExtent(const std::vector<double>& contrast, const std::vector<char>& seen_anywhere);

// What stands out from the noise that the profile's rim shows, where there is no body.
double LeastContrast(const std::vector<double>& contrast);

}  // namespace loftline
