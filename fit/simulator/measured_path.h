// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/camera_model.h"
#include "fit/flight_motion.h"
#include "fit/flight_result.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// The same motion seen from the side from which it flies to the right: forward speed, azimuth and wind change sign for
// a flight to the left. All of this folder reckons with it.
FittedMotion FlyingRight(const FittedMotion& motion);

// A flight as the fit's model has it, at some moments, with derivatives by the motion parameters. Places are (along,
// up): along the launch's own horizontal direction.
struct FlownMoment {
  double time_s = 0.0;  // since the launch point
  Eigen::Vector2d place_m, velocity_m_per_s;
  Eigen::Matrix<double, 2, kMotionSize> by_motion;  // of the place
};
// MOTION flies right. TIMES_S rise, and may lie before the launch.
std::vector<FlownMoment> Fly(const MotionVector& motion,
                             const FlightConditions& conditions,
                             const std::vector<double>& times_s);

// The places alone, which is several times as fast.
std::vector<Eigen::Vector2d> FlyPlaces(const MotionVector& motion,
                                       const FlightConditions& conditions,
                                       const std::vector<double>& times_s);

// The world point of a place (along, up) of a flight with the motion as fitted, to whichever side it flies.
Eigen::Vector3d WorldFromPlace(const MotionVector& motion, const Eigen::Vector2d& place_m);

// The camera that saw the flight, as the fit left it, in the picture that the survey was made in.
Camera CameraOf(const FlightResult& result);

// COUNT moments evenly from FIRST_S to LAST_S.
std::vector<double> EvenTimes(double first_s, double last_s, int count);

}  // namespace loftline
