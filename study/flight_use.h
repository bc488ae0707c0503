// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/flight_record.h"

#include <string>

namespace loftline {

// What of a flight may be compared: the stated rule (docs/method.md, "Which flights count").
struct FlightUse {
  bool raw = true;      // what this launch did: range, apogee, flight time, speed
  bool drag = true;     // the rocket's drag, and what follows from it at the standard launch
  std::string why_not;  // a sentence, where one of them is false
};

// Refused, unreadable, skipped and missing flights count for nothing. Flights with a caution count, but: where the
// metres or the path are in doubt (rulers-disagree, residuals-large), for nothing; where the drag was not measured or
// was not steady (drag-not-measurable, drag-changes, tumbling), not for the drag. ACCEPTED_ONLY: no flight with a
// caution counts.
FlightUse UseOf(const FlightOutcome& outcome, bool accepted_only);

}  // namespace loftline
