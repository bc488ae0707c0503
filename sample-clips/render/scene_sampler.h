// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/scene.h"

#include <string>

namespace loftline::render {

// The kinds of clip that the accuracy of the program is stated for.
const std::vector<std::string>& SampleConditions();

// A plausible scene of one kind, all of it drawn from the seed: rocket, push, weather, camera and what else moves.
// Further kinds: "hand" (a hand strays before the lens), "birds", TrackerConditions() and IntervalConditions(),
// DragChangeCondition(). Errors: "bad-value" for a kind that is not known.
Expected<Scene> SampleScene(const std::string& condition, std::uint64_t seed);

// A scene of KIND (any other word: of no special kind), drawn from a stream of LABEL's own and named for it.
Expected<Scene> SampleKind(const std::string& kind, const std::string& label, std::uint64_t seed);

}  // namespace loftline::render
