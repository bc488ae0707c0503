// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "tracker/track_clip.h"

namespace loftline {

// RESULT with everything that it places in pixels of the survey's frame placed in those of the backdrop instead, to be
// drawn over it. The same where the camera stood still. What lies behind the backdrop's view becomes not a number.
FlightResult InBackdrop(const FlightResult& result, const ClipTrack& pictures);

}  // namespace loftline
