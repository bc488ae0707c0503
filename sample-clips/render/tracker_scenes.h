// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/scene.h"

#include <string>

namespace loftline::render {

// The kinds of clip that the accuracy of the tracker is stated for.
//   tripod        a still camera, short exposures
//   clutter       walkers, figures that jump, birds, leaves, cloud edges, more things thrown, shadows on the ground
//   hand-held     the hand wanders and shakes
//   panning       the hand follows the rocket
//   streak        evening light: up to 60 px of motion within an exposure
//   low-contrast  a white rocket 7 to 9 grey levels off an overcast sky, at most about 3 px wide
//   occluded      a pole or a tree hides the rocket for up to 12 frames, or it leaves at the top and comes back
//   no-rocket     people and birds; the rocket, where there is one, stays on its tube
const std::vector<std::string>& TrackerConditions();

// As SampleScene(), which calls it.
Expected<Scene> SampleTrackerScene(const std::string& condition, std::uint64_t seed);

}  // namespace loftline::render
