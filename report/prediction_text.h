// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/prediction/prediction.h"

#include <string>

namespace loftline {

// A prediction for a terminal: quantities with 95 % intervals and what they hang on most, the inputs, what was assumed.
// UTF-8, at most 80 columns, a newline at the end.
std::string PredictionText(const Prediction& prediction);

// Where each uncertainty comes from, largest share first; empty where nothing is uncertain.
std::string PredictionBudgetText(const Prediction& prediction);

// "25 m/s at 60°, drag coefficient 0.6": what flies, on one line.
std::string PredictionTitle(const Prediction& prediction);

}  // namespace loftline
