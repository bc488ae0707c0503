// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/derived_quantities.h"
#include "fit/path_nodes.h"

namespace loftline {
namespace {

Sensitive FromJet(const MotionJet& jet, double factor = 1.0) {
  return {jet.a * factor, jet.v.head<kMotionSize>() * factor};
}

MotionJet Norm(const Eigen::Matrix<MotionJet, 3, 1>& v) {
  return sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2] + MotionJet(1e-18));
}

// The speed of steady fall, sqrt(g / k), where k may hang on the speed itself.
MotionJet TerminalSpeedMPerS(const FlightForces<MotionJet>& forces) {
  MotionJet speed = sqrt(MotionJet(forces.gravity_m_per_s2) / forces.drag_per_m);
  if (!(forces.reynolds_s_per_m > 0.0)) return speed;
  for (int i = 0; i < 40; ++i) {
    speed = sqrt(speed * sqrt(MotionJet(forces.gravity_m_per_s2) / DragPerM(forces, speed, 0.0)));
  }
  return speed;
}

// Flies in steps until EVENT (a function of the state that falls through zero) does, then closes in by Newton's method.
// EVENT_RATE is its time derivative. Nothing within a minute: nothing.
template <typename Event, typename Rate>
std::optional<double> TimeOf(const FlightForces<double>& forces,
                             FlightState<double> state,
                             double step_s,
                             const Event& event,
                             const Rate& event_rate) {
  double time_s = 0.0;
  while (time_s < 60.0) {
    const FlightState<double> next = FlyFor(forces, state, step_s, step_s);
    if (event(next) < 0.0 && event_rate(next) < 0.0) break;
    state = next;
    time_s += step_s;
  }
  if (time_s >= 60.0) return std::nullopt;
  double fraction_s = 0.5 * step_s;
  for (int i = 0; i < 30; ++i) {
    const FlightState<double> at = FlyFor(forces, state, fraction_s, step_s);
    const double correction_s = event(at) / event_rate(at);
    fraction_s -= correction_s;
    if (std::abs(correction_s) < 1e-13) break;
  }
  return time_s + fraction_s;
}

}  // namespace

FlightMilestones Milestones(const MotionVector& motion,
                            const FlightConditions& conditions,
                            double height_above_landing_m) {
  const FlightForces<MotionJet> forces = ForcesOf(motion, conditions);
  const FlightForces<double> plain = ValuesOf(forces);
  const FlightState<MotionJet> launch = LaunchStateOf(motion);
  const FlightState<double> start = ValuesOf(launch);
  const double step_s = LongestStepS(std::max(plain.drag_per_m, plain.drag_after_per_m),
                                     start.velocity_m_per_s.norm() + std::abs(plain.wind_x_m_per_s));

  FlightMilestones milestones;
  milestones.launch_speed_m_s = FromJet(Norm(launch.velocity_m_per_s));
  const MotionJet forward(motion[kForwardMPerS], kForwardMPerS), up(motion[kUpMPerS], kUpMPerS);
  milestones.launch_angle_deg = FromJet(atan2(up, sqrt(forward * forward + MotionJet(1e-18))), DegFromRad(1.0));

  FlightForces<MotionJet> before_change = forces;
  before_change.change_s = std::numeric_limits<double>::infinity();
  milestones.log_drag = FromJet(log(DragPerM(before_change, Norm(launch.velocity_m_per_s), 0.0)));
  milestones.log_terminal_speed = FromJet(log(TerminalSpeedMPerS(before_change)));

  // d(time of event) = -d(event) / rate, which a shift of zero value carries into every other quantity.
  const auto rising = [](const FlightState<double>& s) { return s.velocity_m_per_s.y(); };
  const auto rising_rate = [&](const FlightState<double>& s) {
    return Acceleration(plain, s.velocity_m_per_s, s.time_s).y();
  };
  if (motion[kUpMPerS] > 0.0) {
    if (const std::optional<double> time_s = TimeOf(plain, start, step_s, rising, rising_rate)) {
      FlightState<MotionJet> top = FlyFor(forces, launch, *time_s, step_s);
      MotionJet shift = -top.velocity_m_per_s[1] / Acceleration(forces, top.velocity_m_per_s, top.time_s)[1];
      shift.a = 0.0;
      top = Shifted(forces, top, shift);
      milestones.apogee_m = FromJet(top.at_m[1]);
      milestones.time_to_apogee_s = FromJet(MotionJet(*time_s) + shift);
    }
  }

  // A landing level above the start is reached, on the way down, only from above it.
  if (milestones.apogee_m.value + height_above_landing_m < 0.0) return milestones;
  const auto above = [&](const FlightState<double>& s) { return s.at_m.y() + height_above_landing_m; };
  const auto above_rate = [](const FlightState<double>& s) { return s.velocity_m_per_s.y(); };
  const std::optional<double> landing_s = TimeOf(plain, start, step_s, above, above_rate);
  if (!landing_s || !(*landing_s > 0.0)) return milestones;
  FlightState<MotionJet> landing = FlyFor(forces, launch, *landing_s, step_s);
  MotionJet shift = -(landing.at_m[1] + MotionJet(height_above_landing_m)) / landing.velocity_m_per_s[1];
  shift.a = 0.0;
  const FlightState<double> end = ValuesOf(landing);
  landing = Shifted(forces, landing, shift);
  const MotionJet range =
      sqrt(landing.at_m[0] * landing.at_m[0] + landing.at_m[2] * landing.at_m[2] + MotionJet(1e-18));
  milestones.range_m = FromJet(range);
  milestones.flight_time_s = FromJet(MotionJet(*landing_s) + shift);
  milestones.impact_speed_m_s = FromJet(Norm(landing.velocity_m_per_s));

  const double later_s_per_m = -1.0 / end.velocity_m_per_s.y();
  const Eigen::Vector3d acceleration = Acceleration(plain, end.velocity_m_per_s, end.time_s);
  milestones.flight_time_by_landing_s_per_m = later_s_per_m;
  milestones.range_by_landing = std::hypot(end.velocity_m_per_s.x(), end.velocity_m_per_s.z()) * later_s_per_m;
  milestones.impact_speed_by_landing_per_s =
      acceleration.dot(end.velocity_m_per_s) / end.velocity_m_per_s.norm() * later_s_per_m;
  return milestones;
}

}  // namespace loftline
