// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/predict_flight.h"

#include "core/measured.h"
#include "fit/derived_quantities.h"
#include "fit/impossible_launch.h"
#include "fit/path_nodes.h"

#include <cmath>
#include <limits>
#include <optional>

namespace loftline {
namespace {

// Stands for no drag at all: its logarithm must be finite. Over 100 m it takes 1e-10 of the speed.
constexpr double kNoDragPerM = 1e-12;

MotionVector MotionOf(const PredictedLaunch& launch) {
  const double angle_rad = RadFromDeg(launch.angle_deg);
  MotionVector motion = MotionVector::Zero();
  motion[kForwardMPerS] = launch.speed_m_s * std::cos(angle_rad);
  motion[kUpMPerS] = launch.speed_m_s * std::sin(angle_rad);
  motion[kLogDrag] = std::log(std::max(launch.drag_per_m, kNoDragPerM));
  motion[kWindXMPerS] = launch.wind_along_m_s;
  return motion;
}

PredictedValue ValueOf(const Sensitive& quantity, const PredictedLaunch& launch, double by_landing_per_m) {
  const double angle_rad = RadFromDeg(launch.angle_deg);
  const double by_forward = quantity.by_motion[kForwardMPerS], by_up = quantity.by_motion[kUpMPerS];
  PredictedValue value;
  value.value = quantity.value;
  value.by_log_drag = quantity.by_motion[kLogDrag];
  value.by_speed_s_per_m = by_forward * std::cos(angle_rad) + by_up * std::sin(angle_rad);
  value.by_angle_per_deg =
      RadFromDeg(launch.speed_m_s * (by_up * std::cos(angle_rad) - by_forward * std::sin(angle_rad)));
  value.by_wind_s_per_m = quantity.by_motion[kWindXMPerS];
  value.by_landing_per_m = by_landing_per_m;
  return value;
}

PredictedSample SampleOf(const FlightState<double>& state) {
  return {state.time_s, {state.at_m.x(), state.at_m.y()}, {state.velocity_m_per_s.x(), state.velocity_m_per_s.y()}};
}

// The flight as plain numbers, in steps that are short enough for it.
struct PlainFlight {
  FlightForces<double> forces;
  FlightState<double> start;
  double longest_step_s = 0.0;

  explicit PlainFlight(const PredictedLaunch& launch)
      : forces(ValuesOf(ForcesOf(MotionOf(launch), {launch.gravity_m_per_s2}))),
        start(ValuesOf(LaunchStateOf(MotionOf(launch)))),
        longest_step_s(LongestStepS(forces.drag_per_m, launch.speed_m_s + std::abs(launch.wind_along_m_s))) {}
};

std::vector<PredictedSample> PathOf(const PredictedLaunch& launch, double flight_time_s, int samples) {
  const PlainFlight flight(launch);
  FlightState<double> state = flight.start;
  std::vector<PredictedSample> path{SampleOf(state)};
  for (int i = 1; i <= samples; ++i) {
    state = FlyFor(flight.forces, state, flight_time_s / samples, flight.longest_step_s);
    path.push_back(SampleOf(state));
  }
  return path;
}

}  // namespace

Expected<PredictedFlight> PredictFlight(const PredictedLaunch& launch, int path_samples) {
  if (std::optional<Error> error = WhatIsImpossible(launch)) return *error;
  const FlightMilestones milestones =
      Milestones(MotionOf(launch), {launch.gravity_m_per_s2}, launch.height_above_landing_m);
  if (!milestones.range_m) return NeverLands(launch);
  PredictedFlight flight;
  flight.apogee_m = ValueOf(milestones.apogee_m, launch, 0.0);
  flight.time_to_apogee_s = ValueOf(milestones.time_to_apogee_s, launch, 0.0);
  flight.range_m = ValueOf(*milestones.range_m, launch, milestones.range_by_landing);
  flight.flight_time_s = ValueOf(*milestones.flight_time_s, launch, milestones.flight_time_by_landing_s_per_m);
  flight.impact_speed_m_s = ValueOf(*milestones.impact_speed_m_s, launch, milestones.impact_speed_by_landing_per_s);
  flight.terminal_speed_m_s =
      launch.drag_per_m > 0.0 ? std::exp(milestones.log_terminal_speed.value) : std::numeric_limits<double>::infinity();
  if (path_samples > 0) flight.path = PathOf(launch, flight.flight_time_s.value, path_samples);
  return flight;
}

PredictedSample PredictAt(const PredictedLaunch& launch, double time_s) {
  const PlainFlight flight(launch);
  return SampleOf(FlyFor(flight.forces, flight.start, time_s, flight.longest_step_s));
}

}  // namespace loftline
