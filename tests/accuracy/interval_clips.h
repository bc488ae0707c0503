// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/judged_flight.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace loftline::accuracy {

struct IntervalRequest {
  std::uint64_t first_seed = 9001;
  int clips_each = 34;
  std::vector<std::string> conditions;  // of render::IntervalConditions()
  std::filesystem::path clips;          // NAME.mp4, NAME.survey.json, truth/NAME.truth.json, and perhaps NAME.track.csv
  std::filesystem::path out;            // results go here
  bool only_kept = false;               // leave out clips that are not there, instead of rendering them
  int jobs = 2;
};

// A clip that lies in the folder, rendered there if need be.
struct KeptClip {
  std::string condition, kind, name;  // the kind is the condition without "interval-"
  std::uint64_t seed;
  std::filesystem::path clip, survey, truth, track;
};
std::vector<KeptClip> KeptClips(const IntervalRequest& request);

// Has the program fit the clip's kept track, or measure the clip where there is none, and judges what it writes.
struct MeasuredClip {
  JudgedFlight judged;
  std::filesystem::path result_json;
};
MeasuredClip FitOrMeasureInto(const KeptClip& clip, const std::filesystem::path& out);
JudgedFlight FitOrMeasure(const KeptClip& clip, const std::filesystem::path& out);

// Runs "loftline fit" with these files and arguments, and judges the result, also one that was refused.
JudgedFlight FitFrom(const std::filesystem::path& track,
                     const std::filesystem::path& survey,
                     const std::filesystem::path& truth,
                     const std::vector<std::string>& further,
                     const std::filesystem::path& result_json);

// All of them, side by side; prints the tables and what is missed. Returns 0, or 1 when a wanted figure is missed.
int RunIntervalClips(const IntervalRequest& request);

}  // namespace loftline::accuracy
