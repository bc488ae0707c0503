// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/tracker_figures.h"

namespace loftline::accuracy {

// What the tracker should reach on one kind of clip; not a number: nothing is asked.
struct TrackerGoal {
  std::string condition;
  bool survey = false;  // tracked with the survey, whose launch point tells which of several flights is meant
  double found_share = 0;
  double rms_px = 0, rms_across_px = 0, rms_along_px = 0;
  double refused_share = 0;
};
struct TrackerLimits {
  double squared_low = 1.8, squared_high = 2.2;  // per point, two degrees of freedom
  double phase_bias_px = 0.03;
};
const std::vector<TrackerGoal>& TrackerGoals();
// Throws std::runtime_error for a kind without a goal.
const TrackerGoal& GoalOf(const std::string& condition);

struct TrackerRow {
  std::string condition;
  TrackerFigures figures;
};
// Plain text of at most 80 columns, the wanted figure beside each measured one.
std::string TrackerTable(const std::vector<TrackerRow>& rows);
// One sentence for each figure missed; what could not be measured is missed.
std::vector<std::string> TrackerMisses(const TrackerRow& row);

}  // namespace loftline::accuracy
