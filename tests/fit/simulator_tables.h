// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/read_simulated_flight.h"

#include <string>
#include <vector>

namespace loftline {

// Reads a table that is written out in a test. COLUMNS: of --columns.
Expected<SimulatedFlight> Parsed(const std::string& text, const std::string& columns = "");
// The same, where it must be readable: otherwise the test fails.
SimulatedFlight Read(const std::string& text, const std::string& columns = "");

void ExpectAre(const std::vector<double>& values, const std::vector<double>& expected);
// The flight that the tests' tables hold, unless they say otherwise.
void ExpectTheFlight(const SimulatedFlight& flight);

}  // namespace loftline
