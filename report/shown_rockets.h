// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "tracker/track_clip.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// One rocket of the composite picture.
struct ShownRocket {
  int frame = 0;
  int step = 0;  // its time is STEP times the choice's step_s, to the nearest frame
  Eigen::Vector2d in_px = Eigen::Vector2d::Zero();
  double length_px = 0.0;
};

struct ShownRockets {
  double step_s = 0.0;  // 0 where none is shown
  std::vector<ShownRocket> rockets;
};

// Rockets at equal steps of time, the shortest of a few round steps at which most stand clear of their neighbours: so
// the picture shows where the flight was fast and where it was slow. Only frames that PICTURES has a cut-out of.
ShownRockets PickRockets(const FlightResult& result, const ClipTrack& pictures);

}  // namespace loftline
