// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/simulator_bias.h"

#include <string>

namespace loftline {

// "On average the simulator puts the apogee 1.2 m too high (95 %: 0.9 to 1.5 m)." Empty with fewer than two flights.
std::string BiasSentence(const QuantityBias& bias);
std::string DragFactorSentence(const MeanDragFactor& factor);

// How many paths agree, and what the simulator gets most wrong.
std::string BiasHeadline(const SimulatorBias& bias);

// The words for E below and above zero: "too low", "too high".
std::string ErrorWord(const std::string& key, double error);

// " Looked at by itself, its apogee would count as wrong; asked of 7 quantities at once, the bar is higher." Empty
// where there is no such quantity.
std::string AloneSentence(const std::vector<QuantityBias>& quantities);

}  // namespace loftline
