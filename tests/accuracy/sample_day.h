// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace loftline::accuracy {

// The committed sample clips, as sample-clips/day.csv lists them.
struct SampleClip {
  std::string name, design;
  std::filesystem::path clip, survey, truth;
};
// Throws std::runtime_error when the table cannot be read.
std::vector<SampleClip> SampleDay();

}  // namespace loftline::accuracy
