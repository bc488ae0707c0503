// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_problem.h"
#include "fit/flight_result.h"

#include <optional>
#include <string>

namespace loftline {

// A quantity with its derivatives by the motion parameters.
struct Sensitive {
  double value = 0.0;
  MotionVector by_motion = MotionVector::Zero();
};

// What follows from the launch alone, by flying on: apogee, landing and what happens there.
struct FlightMilestones {
  Sensitive launch_speed_m_s, launch_angle_deg, apogee_m, time_to_apogee_s;
  Sensitive log_drag;            // of k in 1/m at the launch speed, before any change
  Sensitive log_terminal_speed;  // of m/s, with that drag
  std::optional<Sensitive> range_m, flight_time_s,
      impact_speed_m_s;  // nothing: it never comes down to the landing level
  // Change for every metre that the landing level lies lower.
  double range_by_landing = 0.0, flight_time_by_landing_s_per_m = 0.0, impact_speed_by_landing_per_s = 0.0;
};
FlightMilestones Milestones(const MotionVector& motion,
                            const FlightConditions& conditions,
                            double height_above_landing_m);

// The independent inputs that act outside the path fit.
struct OutsideInputs {
  Measured height_above_landing_m;
  Measured air_density_kg_per_m3;
  double air_viscosity_pa_s = 1.8e-5;
  FlightConditions conditions;
  std::optional<Measured> mass_kg, diameter_m;
};

// Fills result->flight and result->budget from the solution: value, linearised standard uncertainty, 95 % interval
// (of the logarithm for drag and terminal speed, which is what the fit estimates), and each source's share. PATH_DOF:
// how many independent residuals the path's noise was judged by.
void FillQuantities(const FlightSolution& solution,
                    const OutsideInputs& outside,
                    double path_dof,
                    FlightResult* result);

// Fills result->path: SAMPLES states from the launch point to the landing level (or to twice the time of what was
// seen).
void FillPath(const FlightSolution& solution,
              const OutsideInputs& outside,
              double seen_first_s,
              double seen_last_s,
              FlightResult* result);

}  // namespace loftline
