// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "tracker/track_clip.h"

namespace loftline {

// An invented flight for the tests of this room, made without any of the program's own mathematics: drag integrated in
// small Euler steps, a pinhole written out by hand, a painted meadow. DIRECTION says where it flies; the camera sees
// all but the last 0.6 s.
FlightResult ExampleFlight(Direction direction = Direction::kRight);

// The pictures that belong to it: backdrop and one cut-out per point, the rocket being bright red.
ClipTrack ExamplePictures(const FlightResult& flight);

// A clip that was refused.
FlightResult RefusedFlight();

}  // namespace loftline
