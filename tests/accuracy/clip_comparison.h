// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// accuracy: measures clips of known truth with the program, from outside, and says how far off it was.
// Used by the program "accuracy" (fresh clips) and by the end-to-end tests (the sample clips).
#pragma once

#include "tests/accuracy/measure_program.h"
#include "tests/accuracy/track_comparison.h"
#include "tests/accuracy/truth_file.h"

#include <optional>

namespace loftline::accuracy {

struct QuantityComparison {
  double truth = 0.0, value = 0.0, low_95 = 0.0, high_95 = 0.0;
  double error() const { return value - truth; }
  double relative() const { return (value - truth) / truth; }
  bool inside() const { return low_95 <= truth && truth <= high_95; }
};

struct ClipComparison {
  std::string name;
  bool measured = false;      // the program gave numbers
  std::string what_happened;  // where it did not
  bool apogee_in_view = false;
  bool direction_right = false;
  std::map<std::string, QuantityComparison> quantities;  // those that the result holds
  TrackComparison track;
  double wall_s = 0.0;

  const QuantityComparison* Find(const std::string& quantity) const;
};

// The figures that Loftline promises.
struct Limits {
  double launch_speed = 0.01;  // relative
  double launch_angle_deg = 0.5;
  double apogee_seen = 0.02;  // relative, where the apogee is in the picture
  double apogee_unseen = 0.05;
  double drag = 0.05;  // relative, where the apogee is in the picture
  double track_rms_px = 0.5;
  double found_share = 0.95;
  double inside_share = 0.90;  // of all truths, inside the stated 95 % intervals
};

// The quantities whose intervals are counted.
const std::vector<std::string>& CountedQuantities();

// Runs the program on a clip that lies with its survey, and compares what it writes with the truth.
ClipComparison MeasureAndCompare(const std::filesystem::path& clip,
                                 const std::filesystem::path& survey,
                                 const std::filesystem::path& truth,
                                 const std::filesystem::path& out);

// Compares written files; the first half of the above has been done.
ClipComparison CompareFiles(const std::filesystem::path& result_json,
                            const std::filesystem::path& track_csv,
                            const ClipTruth& truth);

// One sentence for each promised figure that this clip misses.
std::vector<std::string> Misses(const ClipComparison& clip, const Limits& limits = {});

}  // namespace loftline::accuracy
