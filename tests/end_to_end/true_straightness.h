// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <optional>
#include <set>

namespace loftline::accuracy {

struct StraightnessComparison {
  double true_rms_deg = 0.0;  // of tail to tip against the path of the middle, in the picture
  double value_deg = 0.0, low_95_deg = 0.0, high_95_deg = 0.0;
  bool inside() const { return low_95_deg <= true_rms_deg && true_rms_deg <= high_95_deg; }
};

// Over the frames on which the result has an angle. Nothing where the result has no RMS angle. Throws
// std::runtime_error for files that cannot be read.
std::optional<StraightnessComparison> CompareStraightness(const std::filesystem::path& result_json,
                                                          const std::filesystem::path& truth_json);

}  // namespace loftline::accuracy
