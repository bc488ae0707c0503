// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace loftline::accuracy {

struct ProgramRun {
  int exit_status = -1;
  double wall_s = 0.0;
  std::string output;  // standard output and standard error
};

// Runs a program to its end, from outside, as a user would.
ProgramRun RunProgram(const std::vector<std::string>& arguments, const std::filesystem::path& log);

struct MeasureJob {
  std::filesystem::path clip, survey, out;
  double mass_g = 0.0, mass_std_g = 0.0, diameter_mm = 0.0, diameter_std_mm = 0.0;
};
// "loftline measure" of this build.
ProgramRun RunMeasure(const MeasureJob& job);
// "loftline track" of this build; an empty SURVEY is not given. The log is written beside the track.
ProgramRun RunTrack(const std::filesystem::path& clip,
                    const std::filesystem::path& survey,
                    const std::filesystem::path& track_csv);

}  // namespace loftline::accuracy
