// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/prediction/prediction_model.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// What is predicted, as one vector: first the quantities, then x, y, vx, vy of every row.
enum PredictedOutput {
  kLaunchSpeed,
  kLaunchAngle,
  kDragPerM,
  kDragCoefficient,
  kApogee,
  kTimeToApogee,
  kRange,
  kFlightTime,
  kImpactSpeed,
  kImpactAngle,
  kTerminalSpeed,
  kLaunchEnergy,
  kAirDensity,
  kPredictedOutputs
};
constexpr Eigen::Index kOutputsOfRow = 4;

struct OutputName {
  const char* key;
  const char* label;
  const char* unit;
  bool lognormal;  // its interval is that of the logarithm, as in a result
};
inline constexpr OutputName kOutputNames[kAirDensity] = {{"launch_speed_m_s", "Launch speed", "m/s", false},
                                                         {"launch_angle_deg", "Launch angle", "°", false},
                                                         {"drag_per_m", "Drag per metre", "1/m", true},
                                                         {"drag_coefficient", "Drag coefficient", "", true},
                                                         {"apogee_m", "Apogee", "m", false},
                                                         {"time_to_apogee_s", "Time to apogee", "s", false},
                                                         {"range_m", "Range", "m", false},
                                                         {"flight_time_s", "Flight time", "s", false},
                                                         {"impact_speed_m_s", "Impact speed", "m/s", false},
                                                         {"impact_angle_deg", "Impact angle", "°", false},
                                                         {"terminal_speed_m_s", "Terminal speed", "m/s", true},
                                                         {"launch_energy_j", "Launch energy", "J", false}};

// k at a launch, at its speed over the ground as in a result.
double DragAtLaunchPerM(const FlightSetup& setup);

// The speed of steady fall in the landing's air with the drag of the moment TIME_S: the smallest at which drag holds
// the weight. Nothing below 1000 m/s: nothing.
std::optional<double> TerminalSpeedMPerS(const FlightForces<double>& forces, double time_s);

// All outputs of a flight, smooth also where it goes straight up: a range below zero lies behind the launch, an angle
// above 90 degrees leads there. NaN for what it has not, and for everything where it does not land.
Eigen::VectorXd PredictedOutputs(const FlightSetup& setup, const std::vector<double>& times_s);

}  // namespace loftline
