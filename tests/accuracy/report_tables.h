// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/clip_comparison.h"

#include <string>
#include <vector>

namespace loftline::accuracy {

struct ConditionClip {
  std::string condition;
  ClipComparison clip;
};

// Plain text, at most 80 columns: one row a clip.
std::string ClipTable(const std::vector<ConditionClip>& clips);
// More of the tracks: how much of the error lies across the path, and how much is one constant offset along it.
std::string TrackTable(const std::vector<ConditionClip>& clips);
// Root mean squares and worst errors for each condition.
std::string ConditionTable(const std::vector<ConditionClip>& clips);
// How many truths lie inside the stated 95 % intervals, for each quantity and in all.
std::string IntervalTable(const std::vector<ConditionClip>& clips);
// Share of the truths of CountedQuantities() inside their intervals; a quantity without a number is not counted.
double InsideShare(const std::vector<ConditionClip>& clips);

}  // namespace loftline::accuracy
