// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/predicted_outputs.h"

#include "fit/drag_coefficient.h"
#include "fit/prediction/controlled_flight.h"

#include <cmath>
#include <limits>

namespace loftline {
namespace {

constexpr double kNothing = std::numeric_limits<double>::quiet_NaN();

double AlongM(const Eigen::Vector3d& vector, double azimuth_rad) {
  return vector.x() * std::cos(azimuth_rad) + vector.z() * std::sin(azimuth_rad);
}

}  // namespace

double DragAtLaunchPerM(const FlightSetup& setup) {
  return DragPerM(setup.forces, setup.start.velocity_m_per_s.norm(), 0.0);
}

std::optional<double> TerminalSpeedMPerS(const FlightForces<double>& forces, double time_s) {
  const auto held = [&](double speed) {
    return DragPerM(forces, speed, time_s) * speed * speed >= forces.gravity_m_per_s2;
  };
  constexpr double kSlowest = 0.01, kFastest = 1000.0, kRatio = 1.03;
  double high = kSlowest;
  while (!held(high)) {
    if (high > kFastest) return std::nullopt;
    high *= kRatio;
  }
  double low = high / kRatio;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (held(middle) ? high : low) = middle;
  }
  return high;
}

Eigen::VectorXd PredictedOutputs(const FlightSetup& setup, const std::vector<double>& times_s) {
  const auto rows = static_cast<Eigen::Index>(times_s.size());
  Eigen::VectorXd outputs = Eigen::VectorXd::Constant(kPredictedOutputs + kOutputsOfRow * rows, kNothing);
  const FlightLandmarks landmarks = FindLandmarks(setup.forces, setup.start, setup.height_above_landing_m);
  if (!landmarks.landing) return outputs;
  const FlightState<double>& landing = *landmarks.landing;
  const Eigen::Vector3d& launched = setup.start.velocity_m_per_s;
  const Eigen::Vector3d& landed = landing.velocity_m_per_s;
  const double drag_per_m = DragAtLaunchPerM(setup);
  outputs[kLaunchSpeed] = launched.norm();
  outputs[kLaunchAngle] = DegFromRad(std::atan2(launched.y(), AlongM(launched, setup.azimuth_rad)));
  outputs[kDragPerM] = drag_per_m;
  outputs[kApogee] = landmarks.apogee.at_m.y();
  outputs[kTimeToApogee] = landmarks.apogee.time_s;
  outputs[kRange] =
      std::copysign(std::hypot(landing.at_m.x(), landing.at_m.z()), AlongM(landing.at_m, setup.azimuth_rad));
  outputs[kFlightTime] = landing.time_s;
  outputs[kImpactSpeed] = landed.norm();
  outputs[kImpactAngle] = DegFromRad(
      std::atan2(-landed.y(), std::copysign(std::hypot(landed.x(), landed.z()), AlongM(landed, setup.azimuth_rad))));
  outputs[kAirDensity] = setup.air_density_kg_per_m3;
  if (setup.mass_kg) outputs[kLaunchEnergy] = 0.5 * *setup.mass_kg * launched.squaredNorm();
  if (setup.mass_kg && setup.diameter_m) {
    outputs[kDragCoefficient] =
        drag_per_m / DragPerMOfOne(setup.air_density_kg_per_m3, *setup.diameter_m, *setup.mass_kg);
  }
  outputs[kTerminalSpeed] = TerminalSpeedMPerS(setup.forces, landing.time_s).value_or(kNothing);
  const std::vector<FlightState<double>> states = FlyThrough(setup.forces, setup.start, times_s);
  for (Eigen::Index row = 0; row < rows; ++row) {
    const FlightState<double>& state = states[static_cast<std::size_t>(row)];
    outputs.segment<kOutputsOfRow>(kPredictedOutputs + kOutputsOfRow * row) << AlongM(state.at_m, setup.azimuth_rad),
        state.at_m.y(), AlongM(state.velocity_m_per_s, setup.azimuth_rad), state.velocity_m_per_s.y();
  }
  return outputs;
}

}  // namespace loftline
