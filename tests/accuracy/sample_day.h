// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <ostream>
#include <string>
#include <vector>

namespace loftline::accuracy {

// The committed sample clips, as sample-clips/day.csv lists them.
struct SampleClip {
  std::string name, design;
  std::filesystem::path clip, survey, truth;
};
inline std::ostream& operator<<(std::ostream& stream, const SampleClip& sample) {
  return stream << sample.name;
}

// Throws std::runtime_error when the table cannot be read.
std::vector<SampleClip> SampleDay();

}  // namespace loftline::accuracy
