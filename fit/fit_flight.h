// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// fit: from a track in pixels and a survey to the flight in metres and seconds. The flight model (flight_model.h) is
// projected through the camera to pixels at each point's own exposure time, and Ceres minimises pixel residuals
// together with every survey measurement, so that each uncertainty reaches the answer.
//
// In: a Track (container time stamps, upright pixels), the Survey, and what is known of the rocket.
// Out: a FlightResult with every quantity, its 95 % interval, the error budget and the findings.
// Refuses (ErrorKind::kRefused): "too-few-points", "no-scale", "fit-failed", "not-ballistic",
// "time-base-suspect", "rulers-disagree" (where no flight fits with the survey's lengths).
#pragma once

#include "calibrate/survey.h"
#include "core/expected.h"
#include "core/run_control.h"
#include "fit/flight_result.h"
#include "tracker/track.h"

#include <optional>

namespace loftline {

struct FitOptions {
  std::optional<Measured> mass_kg, diameter_m;
  int rotation_deg = 0;  // of the clip (ClipInfo::rotation_deg): says which way the shutter runs
  std::optional<double>
      tagged_capture_rate_hz;      // of the clip (ClipInfo::capture_rate_hz); the survey's own rate goes first
  double loss_scale_sigmas = 2.0;  // residual size from which a point counts less; docs/method.md, "Outliers"
  int max_iterations = 200;
  bool gravity_ruler = true;  // also solve with the survey's scale left out
  bool drag_change = true;    // also look for a drag that changes in flight
  int monte_carlo_draws = 0;  // at least 200: intervals by Monte Carlo; 0: linearised
  bool ball = false;          // a smooth ball, whose drag coefficient follows the Reynolds number; needs the diameter
};

// Errors beyond the refusals: "size-mismatch" (kInvalidInput) where a track point lies far outside the survey's
// picture.
Expected<FlightResult> FitFlight(const Track& track,
                                 const Survey& survey,
                                 const FitOptions& options = {},
                                 const RunControl& control = {});

}  // namespace loftline
