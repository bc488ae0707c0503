// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <Eigen/Core>

namespace loftline {

// How far down the sensor's readout a pixel of the upright picture lies: 0 on the first row read, 1 on the last.
// Sensor rows are those of the stored picture, so the readout runs down the upright picture at rotation 0, up at 180,
// from right to left at 90 and from left to right at 270 (rotation: clockwise turn from the stored to the upright
// picture).
inline double RowFraction(const Eigen::Vector2d& at_px, int width_px, int height_px, int rotation_deg) {
  switch (rotation_deg) {
    case 90:
      return 1.0 - at_px.x() / (width_px - 1);
    case 180:
      return 1.0 - at_px.y() / (height_px - 1);
    case 270:
      return at_px.x() / (width_px - 1);
    default:
      return at_px.y() / (height_px - 1);
  }
}

}  // namespace loftline
