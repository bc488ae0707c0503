// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_model.h"

#include <optional>
#include <vector>

namespace loftline {

// Flies the flight model in steps that are as short as accuracy asks for: each is done once as a whole and once in two
// halves, the difference says what it is wrong by, and the halves are improved by it (Richardson's extrapolation). So
// the path stays right to 1e-9 also where a table's curve bends, where a ball's drag falls, and at the top of a flight
// straight up, where the drag turns over. Steps end at the moments where drag by the clock bends or changes.
class ControlledFlight {
 public:
  // FORCES and the table that they point to must outlive the flight.
  ControlledFlight(const FlightForces<double>& forces, const FlightState<double>& start);

  const FlightState<double>& state() const { return state_; }
  // One step forward, not beyond END_S.
  void StepTowards(double end_s);
  void FlyTo(double end_s);
  // From the present state, within the step that StepTowards would take.
  FlightState<double> Ahead(double by_s) const;

 private:
  double NextBend() const;

  const FlightForces<double>& forces_;
  FlightState<double> state_;
  double step_s_;
};

// Where the flight turns and comes down.
struct FlightLandmarks {
  FlightState<double> apogee;                  // the launch itself where it points down
  std::optional<FlightState<double>> landing;  // nothing: it does not come down to the landing level within a minute
};
FlightLandmarks FindLandmarks(const FlightForces<double>& forces,
                              const FlightState<double>& start,
                              double height_above_landing_m);

// The states at TIMES_S, which rise and are not before START.
std::vector<FlightState<double>> FlyThrough(const FlightForces<double>& forces,
                                            const FlightState<double>& start,
                                            const std::vector<double>& times_s);

}  // namespace loftline
