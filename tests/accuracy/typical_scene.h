// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/surveyed_track.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline::accuracy {

// How much care somebody took with the survey.
enum class Care {
  kByEye,       // phone squared up by eye: yaw to 0.7 degrees, poles in line with the launcher to 5 cm
  kByTape,      // the phone stands equally far from both poles to 2 cm (yaw to 0.3 degrees), poles in line to 3 cm
  kCalibrated,  // by tape, and lens and readout of that phone were measured once, the readout to 0.5 ms
};

// The typical scene that figures are stated for: 1080p at 60 frames a second, the whole arc of a flight of 20 m/s at 62
// degrees from 19 m, poles 10 m apart taped to 5 mm, marks to 0.7 px. Mass and diameter exact. SEED for the noise and
// the survey's mistakes.
SurveyedTrack TypicalTrack(std::uint64_t seed, Care care = Care::kCalibrated);

// Half-widths of its 95 % intervals (medians over 25 surveys) beside what is wanted of the calibrated survey, and what
// makes up its variance; those of the other surveys for comparison. Returns one sentence for each figure that is
// missed.
std::vector<std::string> PrintTypicalScene();

}  // namespace loftline::accuracy
