// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/scene.h"

#include <vector>

#include <Eigen/Core>

namespace loftline::render {

// Free flight of a point mass: dv/dt = -g - k |v - w| (v - w), integrated by GSL's Runge-Kutta-Prince-Dormand 8(9) at a
// relative tolerance of 1e-10. Times count from the moment at which the body's middle passes the tube's mouth.
struct FlightState {
  Eigen::Vector3d at_m = Eigen::Vector3d::Zero();
  Eigen::Vector3d velocity_m_s = Eigen::Vector3d::Zero();
};

struct LaunchConditions {
  Eigen::Vector3d velocity_m_s;
  Eigen::Vector3d wind_m_s = Eigen::Vector3d::Zero();
  double drag_per_m = 0.0;
  double drag_change_s = 0.0, drag_change_factor = 1.0;  // from that moment on the drag is that many times as large
  double gravity_m_s2 = 9.80665;
  double landing_y_m = 0.0;  // at or below zero

  double DragPerMAt(double time_s) const {
    return time_s < drag_change_s ? drag_per_m : drag_change_factor * drag_per_m;
  }
};

class Trajectory {
 public:
  explicit Trajectory(const LaunchConditions& launch);

  FlightState At(double time_s) const;  // 0 .. flight_time_s(), clamped
  double flight_time_s() const { return flight_time_s_; }
  double time_to_apogee_s() const { return time_to_apogee_s_; }
  double apogee_m() const;  // above the tube's mouth
  double range_m() const;   // horizontal, sideways part included
  double impact_speed_m_s() const;
  const LaunchConditions& launch() const { return launch_; }

 private:
  Eigen::Vector3d Acceleration(double time_s, const Eigen::Vector3d& velocity_m_s) const;
  // First moment after FROM_S at which the coordinate or speed measured by F falls through zero.
  template <typename F>
  double FallsThroughZero(double from_s, F f) const;

  LaunchConditions launch_;
  std::vector<FlightState> nodes_;  // one a millisecond
  double flight_time_s_ = 0.0;
  double time_to_apogee_s_ = 0.0;
};

// Air density by the approximate formula of OIML R 111-1 (2004), E.3, within 3e-4 of CIPM-2007 in ordinary weather.
double AirDensityKgPerM3(const Air& air);
// Normal gravity by the 1980 international series 9.780327 (1 + 0.0053024 sin^2 - 0.0000058 sin^2 2 lat), free air
// -3.086e-6 /s2.
double GravityMPerS2(const Air& air);
double DragPerM(const Scene& scene);  // rho Cd A / (2 m)
LaunchConditions LaunchOf(const Scene& scene);

}  // namespace loftline::render
