// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/comparison.h"

#include <optional>
#include <vector>

namespace loftline {

// The standard launch of these flights: speed and angle as given, otherwise the medians of those used raw; air, gravity
// and landing level are medians. Errors: "bad-value" for a speed or angle that cannot be.
Expected<StandardLaunch> ChooseStandardLaunch(const std::vector<ComparedFlight>& flights,
                                              const CompareOptions& options);

// ln of a flight's drag per metre in the standard air, with its standard uncertainty and the part that comes from the
// survey. Nothing where the drag may not be compared.
struct StandardDrag {
  Measured log_drag;
  double survey_std = 0.0;
};
std::optional<StandardDrag> StandardDragOf(const ComparedFlight& flight, const StandardLaunch& standard);

// Where a rocket goes from the standard launch. Nothing where it never comes down.
struct StandardFlight {
  double range_m = 0.0, apogee_m = 0.0, flight_time_s = 0.0;
  double range_by_log_drag_m = 0.0, apogee_by_log_drag_m = 0.0, flight_time_by_log_drag_s = 0.0;
};
std::optional<StandardFlight> FlyStandard(double log_drag, const StandardLaunch& standard);

// The path of a rocket of that drag, its heights beside those of the two drags at the ends of its interval.
StandardPath PathOf(std::size_t design, const Estimate& log_drag, const StandardLaunch& standard);

}  // namespace loftline
