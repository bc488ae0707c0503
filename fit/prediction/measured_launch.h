// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "fit/prediction/prediction_model.h"

namespace loftline {

// Which inputs of a measured launch are wanted; the others are given anew, and then independent.
struct WantedOfLaunch {
  bool speed = true, angle = true, wind = true, drag = true;
};

// Puts a measured launch into MODEL, before any other input: speed, angle, azimuth, wind, drag and where it was found
// to change, with the correlations that the fit's covariance gives them. The flight goes along +x, whichever way it
// went in the picture.
void AddMeasuredLaunch(const FlightResult& from, const WantedOfLaunch& wanted, PredictionModel* model);

// Makes the correlations those of all inputs: those that came later are independent.
void CompleteCorrelations(PredictionModel* model);

}  // namespace loftline
