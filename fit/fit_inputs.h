// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/calibrate_camera.h"
#include "core/expected.h"
#include "fit/derived_quantities.h"
#include "fit/fit_flight.h"
#include "fit/flight_problem.h"

#include <vector>

namespace loftline {

// What the fit makes of its inputs before it starts. The survey's launch point is filled in where nobody marked it.
struct FitInputs {
  Survey survey;
  Calibration calibration;
  std::vector<SeenPoint> points;    // those to use, by time
  std::vector<SeenPoint> left_out;  // launch and outlier points, for the report
  FlightPriors priors;
  OutsideInputs outside;
  double time_scale = 1.0;    // true seconds per second of time stamps
  double frame_step_s = 0.0;  // between frames, by the time stamps
  bool by_gravity = false;    // nothing in the survey has metres in it
  bool launch_marked = true;
  std::vector<Assumed> assumed;
};

// Errors: those of CalibrateCamera, "pose-unknown", "size-mismatch", "too-few-points", and "bad-value" for impossible
// masses and sizes.
Expected<FitInputs> PrepareFit(const Track& track, const Survey& survey, const FitOptions& options);

}  // namespace loftline
