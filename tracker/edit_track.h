// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/track_clip.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// A correction by hand of one frame of a finished track.
struct TrackEdit {
  enum class Kind { kDrop, kMove, kAdd };
  int frame = 0;
  double time_s = 0.0;  // of the frame; needed for kAdd alone
  Kind kind = Kind::kDrop;
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();  // in the frame's own pixels; not for kDrop
};

// Applies them in order. A dropped point stays as an outlier; a moved or added one is in flight, with one pixel of
// standard uncertainty each way, as a person marks. What was kept of the pictures around it goes: it showed something
// else. Errors: "no-such-point" (kInvalidInput) for dropping or moving what is not there.
Status EditTrack(const std::vector<TrackEdit>& edits, ClipTrack* clip);

}  // namespace loftline
