// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/measured_path.h"

#include "fit/path_nodes.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

// Along the launch's heading, which follows the azimuth: a turn of all about the vertical changes nothing along it.
struct AlongJet {
  MotionJet x, z;
  explicit AlongJet(const MotionVector& motion) {
    const MotionJet azimuth(motion[kAzimuthRad], kAzimuthRad);
    x = cos(azimuth);
    z = sin(azimuth);
  }
  MotionJet Of(const Eigen::Matrix<MotionJet, 3, 1>& in_world) const { return x * in_world[0] + z * in_world[2]; }
};

FlownMoment MomentOf(const FlightState<MotionJet>& state, const AlongJet& along) {
  const MotionJet distance = along.Of(state.at_m);
  FlownMoment moment;
  moment.time_s = state.time_s;
  moment.place_m = {distance.a, state.at_m[1].a};
  moment.velocity_m_per_s = {along.Of(state.velocity_m_per_s).a, state.velocity_m_per_s[1].a};
  moment.by_motion.row(0) = distance.v.head<kMotionSize>();
  moment.by_motion.row(1) = state.at_m[1].v.head<kMotionSize>();
  return moment;
}

// Calls SEEN with the state at each of TIMES_S.
template <typename T, typename Seen>
void FlyPast(const FlightForces<T>& forces,
             FlightState<T> state,
             const MotionVector& motion,
             const std::vector<double>& times_s,
             const Seen& seen) {
  const double fastest_m_per_s = std::hypot(motion[kForwardMPerS], motion[kUpMPerS]) + std::abs(motion[kWindXMPerS]);
  const double drag_per_m = std::exp(motion[kLogDrag] + std::max(0.0, motion[kLogDragChange]));
  const double longest_step_s = LongestStepS(drag_per_m, fastest_m_per_s);
  for (const double time_s : times_s) {
    state = FlyFor(forces, state, time_s - state.time_s, longest_step_s);
    state.time_s = time_s;
    seen(state);
  }
}

}  // namespace

FittedMotion FlyingRight(const FittedMotion& motion) {
  if (motion.values[kForwardMPerS] >= 0.0) return motion;
  MotionVector sign = MotionVector::Ones();
  for (const MotionParameter parameter : {kForwardMPerS, kAzimuthRad, kWindXMPerS}) sign[parameter] = -1.0;
  FittedMotion turned = motion;
  turned.values = sign.cwiseProduct(motion.values);
  turned.covariance = sign.asDiagonal() * motion.covariance * sign.asDiagonal();
  turned.path_noise_part = sign.asDiagonal() * motion.path_noise_part * sign.asDiagonal();
  return turned;
}

std::vector<FlownMoment> Fly(const MotionVector& motion,
                             const FlightConditions& conditions,
                             const std::vector<double>& times_s) {
  const FlightForces<MotionJet> forces = ForcesOf(motion, conditions);
  const AlongJet along(motion);
  std::vector<FlownMoment> moments;
  FlyPast(forces, LaunchStateOf(motion), motion, times_s, [&](const FlightState<MotionJet>& state) {
    moments.push_back(MomentOf(state, along));
  });
  return moments;
}

std::vector<Eigen::Vector2d> FlyPlaces(const MotionVector& motion,
                                       const FlightConditions& conditions,
                                       const std::vector<double>& times_s) {
  const FlightForces<double> forces = ValuesOf(ForcesOf(motion, conditions));
  const double cosine = std::cos(motion[kAzimuthRad]), sine = std::sin(motion[kAzimuthRad]);
  std::vector<Eigen::Vector2d> places_m;
  FlyPast(forces, ValuesOf(LaunchStateOf(motion)), motion, times_s, [&](const FlightState<double>& state) {
    places_m.emplace_back(cosine * state.at_m.x() + sine * state.at_m.z(), state.at_m.y());
  });
  return places_m;
}

Eigen::Vector3d WorldFromPlace(const MotionVector& motion, const Eigen::Vector2d& place_m) {
  const double along_m = motion[kForwardMPerS] < 0.0 ? -place_m.x() : place_m.x();
  return {along_m * std::cos(motion[kAzimuthRad]), place_m.y(), along_m * std::sin(motion[kAzimuthRad])};
}

Camera CameraOf(const FlightResult& result) {
  Camera camera;
  camera.width_px = result.survey.width_px;
  camera.height_px = result.survey.height_px;
  camera.parameters = result.motion.camera;
  return camera;
}

std::vector<double> EvenTimes(double first_s, double last_s, int count) {
  std::vector<double> times_s;
  times_s.reserve(static_cast<std::size_t>(std::max(count, 0)));
  for (int i = 0; i < count; ++i) times_s.push_back(first_s + (last_s - first_s) * i / (count - 1));
  return times_s;
}

}  // namespace loftline
