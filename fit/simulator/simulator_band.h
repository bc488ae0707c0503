// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/simulator/simulated_flight.h"

#include <optional>
#include <string_view>

namespace loftline {

// What is said of a simulator's uncertainty as a whole, for what its table leaves open: one standard uncertainty.
struct SimulatorBand {
  // Of the distance from the first row's place, for each coordinate, and of the speed, for each of its parts: at the
  // top, too, where the vertical part is nothing and its uncertainty makes that of the apogee's time.
  std::optional<double> relative;
  std::optional<double> length_m;   // of each coordinate, all the way
  std::optional<double> speed_m_s;  // of each speed, all the way
};

// "2 %", "0.3 m", "0.1 m/s" into its place in BAND. Errors (kInvalidInput): "bad-value".
Status AddToBand(std::string_view text, SimulatorBand& band);

// Fills the uncertainties of FLIGHT that are empty. Of several that apply to the same, the squares are added.
void ApplyBand(const SimulatorBand& band, SimulatedFlight& flight);

}  // namespace loftline
