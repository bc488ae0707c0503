// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/simulator_bias.h"

#include <string>
#include <vector>

namespace loftline {

// Parts of what is printed of a simulator that was checked by several flights. At most 80 columns.

// One line a flight: its verdict and the errors of the main quantities.
std::string FlightLines(const std::vector<ValidatedFlight>& flights);

// What was found of single flights, those of one kind together: the first in words, the others counted.
std::string PatternLines(const std::vector<ValidatedFlight>& flights);

// The errors on average, quantity by quantity. EXPLAIN adds the spread between flights beside each flight's own
// uncertainty, and the probabilities.
std::string BiasLines(const SimulatorBias& bias, bool explain);

}  // namespace loftline
