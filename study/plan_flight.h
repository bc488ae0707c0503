// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Planning a place to film from, before anybody launches: from a survey and an expected launch to what the fit will
// say of such a flight, and whether another place would do better. Nothing is computed twice: the flight comes from the
// fit's own model, tracks of it are drawn as the tracker would give them, and FitFlight measures them.
#pragma once

#include "study/better_stand.h"
#include "study/expected_result.h"

#include <optional>
#include <vector>

namespace loftline {

struct PlanRequest {
  double speed_m_s = 0.0, angle_deg = 0.0;
  std::optional<double> drag_per_m, drag_coefficient;  // one of them, or neither: what is usual
  std::optional<Measured> mass_kg, diameter_m;
  std::optional<Measured> wind_along_m_s;                    // otherwise the survey's
  std::optional<Direction> direction;                        // otherwise towards the farther edge of the picture
  std::optional<double> rate_hz, exposure_s, body_length_m;  // otherwise usual, and listed as assumed
  int draws = 5;
  PointNoise noise;
};

struct FlightPlan {
  PlanRequest request;
  Survey survey;  // as given
  std::vector<Assumed> assumed;
  PredictedLaunch launch;
  std::optional<double> drag_coefficient;
  PredictedFlight flight;
  PlannedShot shot;  // from the surveyed place
  CameraStand stand;
  PlannedView view;
  std::optional<ExpectedResult> expected;  // nothing: REFUSAL says why
  std::optional<Error> refusal;            // what such a clip would be refused with
  std::vector<Finding> findings;           // of the fit, and of the shot: too blurred, too small, too fast
  StandSearch search;
};

// Errors (kInvalidInput): "impossible-launch", "never-lands", "bad-value"; those of CalibrateCamera ("no-scale" among
// them); "cancelled". A flight that cannot be measured from this place is no error: REFUSAL is then set.
Expected<FlightPlan> PlanFlight(const PlanRequest& request, const Survey& survey, const RunControl& control = {});

}  // namespace loftline
