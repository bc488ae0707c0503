// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "tracker/clip_frames.h"
#include "tracker/clip_info.h"

#include <vector>

namespace loftline {

// What can be told of a clip before anything is measured.
struct ClipSheet {
  ClipInfo info;                 // with frames counted
  std::vector<double> times_s;   // of the clip's time stamps, one for each frame
  std::vector<Finding> remarks;  // what its time stamps and its pictures say, for a student
};

// Looks at the time stamps and at a few pictures.
ClipSheet LookAtClip(ClipFrames& clip);

}  // namespace loftline
