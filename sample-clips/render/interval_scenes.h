// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/scene.h"

#include <string>

namespace loftline::render {

// The kinds of clip that the truth of the stated uncertainties is checked on. Their names start with "interval-"
// because some of them are kinds of SampleConditions() too, whose clips these are not: each has a stream of its own.
//   plain          a whole arc, everything well surveyed
//   launch-only    the apogee lies outside the picture
//   tilt-roll      the camera looks up by 8 to 20 degrees and is turned by 3 to 8; one level baseline, no plumb line,
//                  and half of the time nobody notes tilt and roll, else only roughly
//   depth-offset   the poles stand 1 to 2.5 m before or behind the flight plane, as the survey says
//   wind           up to 4 m/s along the flight, known to 0.3 to 0.8 m/s
//   variable-rate, fast-rate (240 frames a second), portrait, left
const std::vector<std::string>& IntervalConditions();

// One more kind, for a fault that is to be caught: whole arcs on which the drag doubles in flight.
const std::string& DragChangeCondition();

// As SampleScene(), which calls it.
Expected<Scene> SampleIntervalScene(const std::string& condition, std::uint64_t seed);

}  // namespace loftline::render
