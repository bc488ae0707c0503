// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/expected_result.h"
#include "study/moved_camera.h"

#include <optional>

namespace loftline {

// A place to film from, and what is expected there.
struct StandOutcome {
  CameraStand stand;
  PlannedView view;
  ExpectedResult expected;
};

struct StandSearch {
  int tried = 0;                     // places from which the whole flight and all marks are in view
  std::optional<StandOutcome> best;  // nothing where there is none
  bool clearly_better = false;       // than HERE
};

// Tries places nearer and farther, in front of where the camera stands and in front of the flight's middle, with the
// phone held as it is and turned by a right angle, each with the tilt that puts the flight into the middle of the
// picture: whole half metres and degrees, for nobody stands more exactly. HERE: what the surveyed place gives, if it
// gives anything. The best place has the least product of the relative 95 % intervals of drag and launch speed; it is
// clearly better where these shrink by 15 % in the geometric mean. Lens, height and roll stay. Errors: "cancelled"
// only.
Expected<StandSearch> FindBetterStand(const PlannedShot& shot,
                                      const PredictedFlight& flight,
                                      const Survey& survey,
                                      const std::optional<ExpectedResult>& here,
                                      const DrawOptions& options,
                                      const RunControl& control = {});

}  // namespace loftline
