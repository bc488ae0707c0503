// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/interval_clips.h"

namespace loftline::accuracy {

// The simulators of simulator_tracks.h beside rendered clips, each measured by the program from its video (or its kept
// track) and survey. Prints the same table. Returns 0, or 1 when a wanted figure is missed.
int RunSimulatorClips(const IntervalRequest& request);

}  // namespace loftline::accuracy
