// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/board.h"

#include <cstdint>
#include <vector>

namespace loftline::test {

// A lens and boards before it, projected by cv::projectPoints: nothing is shared with calibrate/.
struct SimulatedLens {
  int width_px = 1920, height_px = 1080;
  double focal_px = 1500.0;
  double axis_x_px = 0.0, axis_y_px = 0.0;  // of the lens's axis, from the middle of the picture
  double k1 = 0.0, k2 = 0.0, p1 = 0.0, p2 = 0.0;

  double HorizontalViewDeg() const;
};

struct BoardPlaces {
  int boards = 20;
  double largest_tilt_deg = 40.0;
  double bent_by = 0.0;  // squares that the middle of the board bulges towards the camera, like paper that is not flat
};

// Boards at random places that show whole, each corner off by NOISE_PX each way.
std::vector<SeenBoard> SimulateBoards(
    const SimulatedLens& lens, BoardSize size, const BoardPlaces& places, double noise_px, std::uint64_t seed);

}  // namespace loftline::test
