// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_problem.h"
#include "tracker/track.h"

#include <vector>

namespace loftline {

// The body's axis on one frame beside the fitted flight.
struct AxisSight {
  int frame = 0;
  double time_s = 0.0;     // since the launch point, rolling shutter allowed for
  double angle_rad = 0.0;  // of the axis from the velocity as the picture shows both, anticlockwise, -pi/2..pi/2
  double path_rad = 0.0;   // direction of the velocity in the picture, anticlockwise from its right
  double length_px = 0.0;  // of the body and its streak, as the track has it
  double speed_m_per_s = 0.0, speed_px_per_s = 0.0;
  double by_wind_rad_s_per_m = 0.0;  // how far a wind along x of 1 m/s turns a body that follows the air
};

struct SightOptions {
  FlightConditions conditions;
  double time_scale = 1.0;                            // true seconds per second of the track's time stamps
  int width_px = 0, height_px = 0, rotation_deg = 0;  // of the upright picture; of the clip
  int survey_frame = 0;
};

// One for every flight point of TRACK whose axis was measured (length_px above zero, axis_deg a number), where the
// rocket is fast enough to have a direction. The velocity is that of SOLUTION at the row's own time, projected through
// its camera; rows read one after the other shear a moving body, which is undone. Of a moving camera, axis and place
// are carried to the survey's frame first.
std::vector<AxisSight> AxisSights(const Track& track, const FlightSolution& solution, const SightOptions& options);

}  // namespace loftline
