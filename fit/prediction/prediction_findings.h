// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "fit/flight_result.h"
#include "fit/prediction/prediction_model.h"

#include <vector>

namespace loftline {

// What must be known of a prediction: where the flight left its drag table or the range of the ball's curve
// ("drag-beyond-table"), and what the measured flight was doubted for ("starts-from-caution"). FROM may be null.
std::vector<Finding> PredictionFindings(const FlightSetup& setup,
                                        const PredictionModel& model,
                                        const FlightResult* from,
                                        const std::vector<PredictedRow>& rows);

}  // namespace loftline
