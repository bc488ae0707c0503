// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/support/synthetic_simulator.h"

#include <cmath>

namespace loftline {

SimulatedFlight Simulate(const SyntheticScene& scene, double step_s) {
  SimulatedFlight flight;
  flight.file = "synthetic.csv";
  const double end_s = SyntheticTruthOf(scene).flight_time_s + 2.0 * step_s;
  for (int row = 0; row * step_s < end_s; ++row) flight.time_s.push_back(row * step_s);
  for (const SyntheticState& state : SyntheticStates(scene, flight.time_s)) {
    flight.x_m.push_back(std::hypot(state.at_m.x(), state.at_m.z()));
    flight.y_m.push_back(state.at_m.y());
    flight.vx_m_per_s.push_back(std::hypot(state.velocity_m_per_s.x(), state.velocity_m_per_s.z()));
    flight.vy_m_per_s.push_back(state.velocity_m_per_s.y());
  }
  return flight;
}

}  // namespace loftline
