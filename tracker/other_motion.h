// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/find_flight.h"
#include "tracker/link_paths.h"

namespace loftline {

// A bird on a wavy way draws arcs like a thrown thing's, but it came in flying, or flies on; a rocket starts from its
// tube and ends on the ground. Whether TRACKLET keeps about the path's speed before GUESS begins or after it has ended,
// without falling as the path does.
bool IsPartOfAnotherMotion(const FlightGuess& guess, const Tracklet& tracklet, const FlightRules& rules);

}  // namespace loftline
