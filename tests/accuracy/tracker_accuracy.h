// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace loftline::accuracy {

struct TrackerRequest {
  std::uint64_t first_seed = 9001;
  int clips_each = 10;
  std::vector<std::string> conditions;
  std::filesystem::path out;
  bool keep = false;  // the rendered clips
  bool kept = false;  // take those that were kept before
};

// Renders fresh clips of each kind, has the program track them as a user would, prints the table of what it found
// beside what is wanted. Returns 0, or 1 when a figure is missed.
int RunTrackerAccuracy(const TrackerRequest& request);

}  // namespace loftline::accuracy
