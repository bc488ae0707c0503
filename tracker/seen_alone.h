// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/find_flight.h"

namespace loftline {

// Points measured with all frames together (refine_flight.h) are the better ones, but where the rocket passes before
// something of its own brightness they fail, and single frames may still show it. Puts such linked points back into
// GUESS, up to 0.25 s beyond its ends, each with the uncertainty by which single frames differ from the common
// measurement on the frames that have both: the body's visible part need not have the body's middle.
void KeepSeenAlone(FlightGuess* guess, const FlightRules& rules);

}  // namespace loftline
