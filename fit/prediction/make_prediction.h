// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/prediction/prediction.h"

namespace loftline {

// Flies a launch that is known with uncertainties, by the model that the fit uses (fit/flight_model.h), and says where
// it goes, how well that is known, and what the uncertainty comes from: the law of propagation of uncertainty
// (core/uncertainty.h), to first order, over independent inputs, or over those of a measured launch with the
// correlations that they have. Path and quantities are right to 1e-9 of their size.
//
// Errors: "bad-value", naming the option (no drag or two, a coefficient without mass and diameter, a value beyond its
// limits, more than a hundred thousand rows), "impossible-launch", "never-lands" as PredictFlight has them
// (kInvalidInput); "nothing-measured" (kRefused): the measured flight was refused.
Expected<Prediction> MakePrediction(const PredictionRequest& request);

}  // namespace loftline
