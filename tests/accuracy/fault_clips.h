// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/faults.h"

#include <filesystem>
#include <vector>

namespace loftline::accuracy {

// The faults put into the surveys, or the time stamps, of the whole arcs among the kept clips whose track lies beside
// them: each clip is fitted once with each fault. Empty where there are none. Clips of render::DragChangeCondition()
// are flights whose drag doubles, and need no change.
std::vector<FaultRow> FaultyClips(const IntervalRequest& request);

// The survey with FAULT put into its first baseline; what is not of the survey is left alone.
nlohmann::json WithFault(nlohmann::json survey, const TrackFault& fault);
// A track.csv with its times TIMES as long.
std::string WithLongerTimes(const std::string& track_csv, double times);

}  // namespace loftline::accuracy
