// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// One launch of a day that is being planned.
struct PlannedLaunch {
  int number = 0;  // over the whole day, counted from 1
  int round = 0;   // counted from 1
  std::string design;
  std::string clip;  // "launch-01.mp4"
};

struct LaunchOrder {
  std::vector<std::string> designs;  // at least one; no two alike
  int launches_each = 0;
  std::uint64_t seed = 1;
};

// Rounds in which every design flies once, each round shuffled by itself (randomised blocks: Fisher, The Design of
// Experiments, 1935, chapter 4). Whatever drifts over the day (wind, a tube that warms up, a tired foot) then falls on
// all designs alike, also where the day ends early, and chance alone says who goes first. The same seed gives the same
// order on every machine. Errors (kInvalidInput): "bad-value" naming --designs, --launches or --seed.
Expected<std::vector<PlannedLaunch>> ShuffledLaunches(const LaunchOrder& order);

// The day table to fill in (docs/formats.md, "Day table"): numbers, clips and designs written, SURVEY in every row,
// mass, diameter, taped range and note empty.
std::string LaunchTableAsCsv(const std::vector<PlannedLaunch>& launches, const std::string& survey);

// "Heron,Puffin": names with commas between them; one with a comma stands in double quotes, a quote in it doubled, as
// in CSV. Errors: "bad-value" for a quote that is not closed.
Expected<std::vector<std::string>> DesignNames(std::string_view text);

}  // namespace loftline
