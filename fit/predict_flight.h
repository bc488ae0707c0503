// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// A launch of which everything that matters is known. The flight goes along +x of the flight plane.
struct PredictedLaunch {
  double speed_m_s = 0.0;   // at the launch point
  double angle_deg = 0.0;   // above the horizontal, -90..90
  double drag_per_m = 0.0;  // k = rho Cd A / (2 m); 0 for flight without air
  double gravity_m_per_s2 = 9.80665;
  double wind_along_m_s = 0.0;  // blowing with the launch
  double height_above_landing_m = 0.0;
};

// A value with its derivatives by what the launch is given by.
struct PredictedValue {
  double value = 0.0;
  double by_log_drag = 0.0;       // for each unit of ln k: 0.01 of it is what 1 % more drag does
  double by_speed_s_per_m = 0.0;  // for each m/s of launch speed
  double by_angle_per_deg = 0.0;
  double by_wind_s_per_m = 0.0;   // for each m/s of wind
  double by_landing_per_m = 0.0;  // for each metre that the landing level lies lower
};

struct PredictedSample {
  double time_s = 0.0;  // since the launch point
  Eigen::Vector2d in_plane_m = Eigen::Vector2d::Zero();
  Eigen::Vector2d velocity_m_per_s = Eigen::Vector2d::Zero();
};

struct PredictedFlight {
  PredictedValue apogee_m, time_to_apogee_s;                // above the launch point; zero where the launch points down
  PredictedValue range_m, flight_time_s, impact_speed_m_s;  // at the landing level
  double terminal_speed_m_s = 0.0;                          // infinite without drag
  std::vector<PredictedSample> path;                        // evenly in time from the launch point to the landing level
};

// Flies the launch by the model that the fit uses (flight_model.h), and says where it goes. PATH_SAMPLES: how many
// steps the path has; 0: no path. Errors (kInvalidInput): "impossible-launch" (no speed, an angle that is none, a drag
// below zero, no gravity), "never-lands" (the landing level is above the apogee, or not reached within a minute).
Expected<PredictedFlight> PredictFlight(const PredictedLaunch& launch, int path_samples = 160);

// Where the flight is at TIME_S since the launch point; it may lie before the launch or after the landing. LAUNCH must
// be one that PredictFlight takes.
PredictedSample PredictAt(const PredictedLaunch& launch, double time_s);

}  // namespace loftline
