// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/frame_spacing.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace loftline {
namespace {

constexpr double kDiffers = 0.1;
constexpr double kGap = 1.5;
// Both ends rounded to a millisecond (Matroska's usual time base).
constexpr double kRounding_s = 0.00101;

std::vector<double> IntervalsOf(const std::vector<double>& times_s) {
  std::vector<double> intervals_s;
  for (std::size_t i = 1; i < times_s.size(); ++i) intervals_s.push_back(times_s[i] - times_s[i - 1]);
  return intervals_s;
}

double MedianOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

FrameSpacing SpacingOf(const std::vector<double>& times_s) {
  FrameSpacing spacing;
  const std::vector<double> intervals_s = IntervalsOf(times_s);
  if (intervals_s.empty()) return spacing;
  spacing.usual_s = spacing.shortest_s = spacing.longest_s = MedianOf(intervals_s);
  std::size_t differ = 0;
  for (std::size_t i = 0; i < intervals_s.size(); ++i) {
    const double interval_s = intervals_s[i];
    if (interval_s > kGap * spacing.usual_s + kRounding_s) {
      ++spacing.gaps;
      spacing.missing_frames += std::max(1, static_cast<int>(std::lround(interval_s / spacing.usual_s)) - 1);
      if (interval_s <= spacing.longest_gap_s) continue;
      spacing.longest_gap_s = interval_s;
      spacing.longest_gap_from_s = times_s[i];
    } else {
      spacing.shortest_s = std::min(spacing.shortest_s, interval_s);
      spacing.longest_s = std::max(spacing.longest_s, interval_s);
      if (std::abs(interval_s - spacing.usual_s) > std::max(kDiffers * spacing.usual_s, kRounding_s)) ++differ;
    }
  }
  const std::size_t counted = intervals_s.size() - static_cast<std::size_t>(spacing.gaps);
  spacing.uneven_share = static_cast<double>(differ) / static_cast<double>(std::max<std::size_t>(counted, 1));
  return spacing;
}

}  // namespace loftline
