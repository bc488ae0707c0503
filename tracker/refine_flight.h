// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/find_flight.h"
#include "tracker/patch_pool.h"

namespace loftline {

// Looks at the flight again, on every frame of which POOL still has the place where the fitted path runs, with all
// frames together (body_profile.h): points become sharper, and frames on which nothing stood out by itself are found,
// also before the first and after the last point. Leaves the guess as it is where that does not help: bodies too wide
// for it (balls), or too few frames.
void RefineFlight(FlightGuess* guess, const PatchPool& pool, const FlightRules& rules);

}  // namespace loftline
