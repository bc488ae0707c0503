// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/surveyed_track.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline::accuracy {

// The typical scene that figures are stated for: 1080p at 60 frames a second, the whole arc of a flight of 22 m/s at 62
// degrees from 19 m, poles 10 m apart taped to 5 mm, marks to 0.7 px, and a survey by somebody careful: everything
// given, nothing assumed but the lens's distortion. Mass and diameter exact. SEED for the noise and the survey's
// mistakes.
SurveyedTrack TypicalTrack(std::uint64_t seed);

// Half-widths of its 95 % intervals (medians over 25 surveys) beside what is wanted, and what makes up their variance.
// Returns one sentence for each figure that is missed.
std::vector<std::string> PrintTypicalScene();

}  // namespace loftline::accuracy
