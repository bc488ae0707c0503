// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/day_figures.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline::accuracy {

// Launch days without flights: standard ranges drawn about the designs' true ones, as the statistics alone see them.
struct DrawnDayKind {
  std::string name;
  int launches = 5;                              // of each design
  std::vector<double> spreads_m;                 // from launch to launch, one for each design
  double least_std_m = 0.3, most_std_m = 0.3;    // of a flight's own error, as stated: uniform in the logarithm
  double worse_share = 0.0, worse_factor = 6.0;  // flights much worse than the rest
  int surveys = 1;
  bool survey_by_design = false;  // a survey for each design, which is what nobody should do
  double survey_std_m = 0.0;      // of the mistake that all flights of a survey share
  bool equal = true;              // designs; else each next one flies STEP_M further
  double step_m = 3.0;
};

// What may go wrong, one by one and together, with 2 designs of 5 launches and 3 of 4.
std::vector<DrawnDayKind> DrawnDayKinds();

// The day of SEED, compared as compare does it: weighted means, Welch or Games and Howell, and the surveys' mistakes as
// known covariance.
JudgedDay CompareDrawnDay(const DrawnDayKind& kind, std::uint64_t seed);

std::vector<JudgedDay> CompareDrawnDays(const std::vector<DrawnDayKind>& kinds,
                                        std::uint64_t first_seed,
                                        int days_each,
                                        int jobs = 2);

}  // namespace loftline::accuracy
