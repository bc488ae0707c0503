// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/surveyed_track.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline::accuracy {

// How a careful surveyor squares the phone up with the flight.
enum class SquaredUp {
  kByTape,  // equally far from both poles to 2 cm, the poles in one line with the launcher to 3 cm
  kByEye    // yaw to 0.7 degrees, depth to 5 cm
};

// The typical scene that figures are stated for: 1080p at 60 frames a second, the whole arc of a flight of 20 m/s at 62
// degrees from 19 m, poles 10 m apart taped to 5 mm, marks to 0.7 px, nothing assumed but the lens's distortion. Mass
// and diameter exact. SEED for the noise and the survey's mistakes.
SurveyedTrack TypicalTrack(std::uint64_t seed, SquaredUp squared_up = SquaredUp::kByTape);

// Half-widths of its 95 % intervals (medians over 25 surveys) beside what is wanted of the survey by tape, and what
// makes up their variance; those of the survey by eye for comparison. Returns one sentence for each figure that is
// missed.
std::vector<std::string> PrintTypicalScene();

}  // namespace loftline::accuracy
