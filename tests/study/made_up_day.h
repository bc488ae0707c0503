// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/summary_file.h"

#include <string>
#include <vector>

namespace loftline {

// One launch of a day made up without video: what was done, and what the measuring says of it.
struct MadeUpLaunch {
  std::string design;
  double speed_m_s = 22.0, angle_deg = 60.0;
  double drag_per_m = 0.03;
  double drag_error = 0.0;    // relative, of the drag that was measured
  double drag_std = 0.02;     // relative, stated
  double survey_share = 0.0;  // of the stated drag variance
  std::string survey = "meadow";
  std::vector<std::string> variables = {};
};

// The day's summary: true ranges and apogees by closed integration in the test support's own code, measured drag with
// its error. Launches are numbered in their order.
DaySummary MakeUpDay(const std::vector<MadeUpLaunch>& launches, const std::vector<std::string>& variables = {});

}  // namespace loftline
