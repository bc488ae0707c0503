// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/survey.h"
#include "core/expected.h"
#include "core/run_control.h"
#include "fit/fit_flight.h"
#include "fit/flight_result.h"
#include "study/planned_shot.h"

#include <map>
#include <string>
#include <vector>

namespace loftline {

// What the fit is expected to say of a quantity.
struct ExpectedQuantity {
  double value = 0.0;              // median of the draws
  double std = 0.0;                // median
  double half_95 = 0.0;            // median of half the 95 % interval's width
  std::vector<BudgetLine> budget;  // largest share first: mean shares of the draws
};

struct ExpectedResult {
  int draws = 0;
  Verdict verdict = Verdict::kAccepted;                // by the findings below
  std::map<std::string, ExpectedQuantity> quantities;  // by their keys in result.json
  std::vector<Finding> findings;                       // that at least half of the draws raise
  std::vector<Assumed> assumed;
};

struct DrawOptions {
  int draws = 5;
  bool all_checks = true;  // false: the uncertainties only, several times faster
  PointNoise noise;
  FitOptions fit;  // mass and diameter
};

// Draws tracks of the shot and has FitFlight measure each with SURVEY, whose camera SHOT must have. So the
// uncertainties are the fit's own, by the same mathematics. Seeds are fixed. Errors: those of FitFlight, where most
// draws fail, and "cancelled".
Expected<ExpectedResult> ExpectResult(const PlannedShot& shot,
                                      double flight_time_s,
                                      const Survey& survey,
                                      const DrawOptions& options,
                                      const RunControl& control = {});

}  // namespace loftline
