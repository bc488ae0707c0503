// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/surveyed_track.h"

#include <map>
#include <string>

namespace loftline::accuracy {

// The least standard errors that launch speed (m/s), launch angle (degrees) and apogee (m) of this track can have,
// given what its survey says and how well: by the names of result.json's "flight". Lens, pose, shutter, wind, azimuth,
// launch time and the places of the marks are unknowns too. Shares nothing with fit/ or calibrate/.
std::map<std::string, double> BoundsOf(const SurveyedTrack& track);

}  // namespace loftline::accuracy
