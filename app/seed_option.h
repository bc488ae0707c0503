// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/option_values.h"
#include "core/expected.h"
#include "tracker/track_clip.h"

#include <string>
#include <vector>

namespace loftline {

inline constexpr const char* kSeedHelp =
    "Where the rocket is on a frame: \"frame,x,y\"; may be given often, each is kept exactly";

// "52,331.2,790.1" each: the frame, counted from 0, and a place in its pixels; at most one for a frame.
std::vector<MarkedPlace> ReadSeeds(const std::vector<std::string>& texts, OptionValues* values);

// Error "bad-value" for a place outside the clip's picture, or a frame beyond its end where that is known.
Status CheckSeeds(const std::vector<MarkedPlace>& marked, const ClipInfo& clip);

}  // namespace loftline
