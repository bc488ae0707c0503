// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/summary_file.h"
#include "tests/accuracy/day_figures.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline::accuracy {

// Launch days of made-up tracks without video, each fitted and all compared as the program does it. On every day pushes
// differ from launch to launch and from design to design, the drag of the designs scatters unequally, some tracks are
// lost in the middle of the arc, and the wind gusts.
struct FlownDayKind {
  std::string name;
  int designs = 2, launches = 5;
  bool equal = true;              // else each next design has three quarters of the drag of the one before
  int surveys = 1;                // the camera is moved in the middle of the day
  bool survey_by_design = false;  // and stands elsewhere for each design, which is what nobody should do
};
std::vector<FlownDayKind> FlownDayKinds();

struct FlownDay {
  DaySummary summary;
  std::vector<std::string> designs;
  std::vector<double> drag_coefficients;  // of the designs' median rockets
  std::vector<double> log_spreads;        // of the rockets about it
  double mass_kg = 0.0, diameter_m = 0.0;
};
FlownDay MakeFlownDay(const FlownDayKind& kind, std::uint64_t seed);

// The day of SEED, compared: one judgement for each of the quantities that the designs are compared by, whose names
// follow the kind's.
std::vector<JudgedDay> CompareFlownDay(const FlownDayKind& kind, std::uint64_t seed);

std::vector<JudgedDay> CompareFlownDays(const std::vector<FlownDayKind>& kinds,
                                        std::uint64_t first_seed,
                                        int days_each,
                                        int jobs = 2);

}  // namespace loftline::accuracy
