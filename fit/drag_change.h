// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/run_control.h"
#include "fit/attempt.h"

#include <optional>
#include <vector>

namespace loftline {

// A drag that changes once in flight, as when a body begins to tumble, loses a fin or bends. The steady drag's solution
// is asked at several moments of the flight whether a change would help (DragChangeTest, cheap); where one may, the
// flight is solved anew with a change at the likeliest moments, and the change must then stand out of its own
// uncertainty.
struct ChangedFlight {
  FitInputs inputs;  // with the moment of the change, and the drag free to change there
  Attempt attempt;
  DragChangeTest change;
};

// Moments to test at, for points between FIRST_S and LAST_S since the launch point.
std::vector<double> ChangeMoments(double first_s, double last_s);

// The factor itself, with a lopsided interval.
Estimate FactorOf(const Measured& log_change);

// Nothing where a steady drag will do.
std::optional<ChangedFlight> FindDragChange(const FitInputs& inputs,
                                            const Attempt& steady,
                                            const FitOptions& options,
                                            const RunControl& control);

}  // namespace loftline
