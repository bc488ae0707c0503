// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/find_flight.h"
#include "tracker/track.h"

#include <deque>
#include <vector>

namespace loftline {

// Turns a flight into a track: says for each point whether it is free flight, launch (within the body's length of the
// marked launch point, or before the path settles), or not to be believed, and adds a hidden point for each frame of
// HISTORY between the first and the last on which nothing was seen.
Track LabelPoints(const FlightGuess& flight, const std::deque<Sightings>& history, const FlightRules& rules);

}  // namespace loftline
