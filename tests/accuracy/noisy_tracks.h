// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/judged_flight.h"
#include "tests/accuracy/surveyed_track.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline::accuracy {

struct TrackRequest {
  std::uint64_t first_seed = 9001;
  int tracks_each = 100;
  std::vector<std::string> conditions;  // of render::IntervalConditions()
  int jobs = 2;
};

// The track of SEED's scene of CONDITION, with FAULT. The track's own noise and the survey's mistakes have a stream of
// their own, so that a fault leaves them as they are.
SurveyedTrack SampleTrack(const std::string& condition, std::uint64_t seed, const TrackFault& fault = {});

// Fits it, in this process, and judges the result as it would stand in the file.
JudgedFlight FitTrack(const SurveyedTrack& track);

// Made-up tracks of every kind: prints the coverage of the intervals, the errors beside the Cramer-Rao bound, the
// verdicts and what is missed, then the typical scene's intervals. Returns 0, or 1 when a wanted figure is missed.
int RunNoisyTracks(const TrackRequest& request);

}  // namespace loftline::accuracy
