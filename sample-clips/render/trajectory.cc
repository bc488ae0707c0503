// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/trajectory.h"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

namespace loftline::render {
namespace {

constexpr double kNodeStep_s = 0.001;
constexpr double kLongest_s = 60.0;
constexpr double kRadPerDeg = std::numbers::pi / 180.0;

int RightHandSide(double time_s, const double y[], double dydt[], void* parameters) {
  const auto& launch = *static_cast<const LaunchConditions*>(parameters);
  const Eigen::Vector3d through_air = Eigen::Vector3d(y[3], y[4], y[5]) - launch.wind_m_s;
  const double drag = launch.DragPerMAt(time_s) * through_air.norm();
  for (int i = 0; i < 3; ++i) {
    dydt[i] = y[i + 3];
    dydt[i + 3] = -drag * through_air[i];
  }
  dydt[4] -= launch.gravity_m_s2;
  return GSL_SUCCESS;
}

}  // namespace

Trajectory::Trajectory(const LaunchConditions& launch) : launch_(launch) {
  gsl_odeiv2_system system{RightHandSide, nullptr, 6, &launch_};
  gsl_odeiv2_driver* driver = gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1e-4, 1e-12, 1e-10);
  double y[6] = {0, 0, 0, launch.velocity_m_s.x(), launch.velocity_m_s.y(), launch.velocity_m_s.z()};
  double time_s = 0.0;
  nodes_.push_back({Eigen::Vector3d::Zero(), launch.velocity_m_s});
  bool ok = true;
  while (ok && time_s < kLongest_s && (y[1] > launch.landing_y_m || y[4] > 0 || nodes_.size() < 2)) {
    ok = gsl_odeiv2_driver_apply(driver, &time_s, static_cast<double>(nodes_.size()) * kNodeStep_s, y) == GSL_SUCCESS;
    nodes_.push_back({{y[0], y[1], y[2]}, {y[3], y[4], y[5]}});
  }
  gsl_odeiv2_driver_free(driver);
  if (!ok || time_s >= kLongest_s) throw std::logic_error("the flight could not be integrated down to the landing");

  flight_time_s_ = static_cast<double>(nodes_.size() - 1) * kNodeStep_s;  // for At() while the exact moments are sought
  time_to_apogee_s_ = launch.velocity_m_s.y() > 0
                          ? FallsThroughZero(0.0, [](const FlightState& s) { return s.velocity_m_s.y(); })
                          : 0.0;
  flight_time_s_ =
      FallsThroughZero(time_to_apogee_s_, [this](const FlightState& s) { return s.at_m.y() - launch_.landing_y_m; });
}

Eigen::Vector3d Trajectory::Acceleration(double time_s, const Eigen::Vector3d& velocity_m_s) const {
  const Eigen::Vector3d through_air = velocity_m_s - launch_.wind_m_s;
  return -launch_.gravity_m_s2 * Eigen::Vector3d::UnitY() -
         launch_.DragPerMAt(time_s) * through_air.norm() * through_air;
}

// Cubic Hermite between nodes: over a millisecond its error, h^4 x''''/384, is below 1e-11 m for these flights.
FlightState Trajectory::At(double time_s) const {
  time_s = std::clamp(time_s, 0.0, flight_time_s_);
  const auto last = nodes_.size() - 2;
  const auto i = std::min(static_cast<std::size_t>(time_s / kNodeStep_s), last);
  const FlightState& a = nodes_[i];
  const FlightState& b = nodes_[i + 1];
  const double s = time_s / kNodeStep_s - static_cast<double>(i);
  const double h = kNodeStep_s;
  const double h00 = (1 + 2 * s) * (1 - s) * (1 - s), h10 = s * (1 - s) * (1 - s);
  const double h01 = s * s * (3 - 2 * s), h11 = s * s * (s - 1);
  const auto blend = [&](const Eigen::Vector3d& p,
                         const Eigen::Vector3d& dp,
                         const Eigen::Vector3d& q,
                         const Eigen::Vector3d& dq) -> Eigen::Vector3d {
    return h00 * p + h10 * h * dp + h01 * q + h11 * h * dq;
  };
  return {
      blend(a.at_m, a.velocity_m_s, b.at_m, b.velocity_m_s),
      blend(
          a.velocity_m_s, Acceleration(time_s, a.velocity_m_s), b.velocity_m_s, Acceleration(time_s, b.velocity_m_s))};
}

template <typename F>
double Trajectory::FallsThroughZero(double from_s, F f) const {
  auto i = static_cast<std::size_t>(from_s / kNodeStep_s);
  while (i + 2 < nodes_.size() && f(nodes_[i + 1]) > 0) ++i;
  double low_s = std::max(from_s, static_cast<double>(i) * kNodeStep_s);
  double high_s = static_cast<double>(i + 1) * kNodeStep_s;
  for (int step = 0; step < 60; ++step) {
    const double middle_s = 0.5 * (low_s + high_s);
    (f(At(middle_s)) > 0 ? low_s : high_s) = middle_s;
  }
  return 0.5 * (low_s + high_s);
}

double Trajectory::apogee_m() const {
  return At(time_to_apogee_s_).at_m.y();
}

double Trajectory::range_m() const {
  const Eigen::Vector3d at_m = At(flight_time_s_).at_m;
  return std::hypot(at_m.x(), at_m.z());
}

double Trajectory::impact_speed_m_s() const {
  return At(flight_time_s_).velocity_m_s.norm();
}

double AirDensityKgPerM3(const Air& air) {
  return (0.34848 * air.pressure_hpa - 0.009 * air.humidity_percent * std::exp(0.061 * air.temperature_c)) /
         (273.15 + air.temperature_c);
}

double GravityMPerS2(const Air& air) {
  const double sine = std::sin(air.latitude_deg * kRadPerDeg);
  const double sine_twice = std::sin(2 * air.latitude_deg * kRadPerDeg);
  return 9.780327 * (1 + 0.0053024 * sine * sine - 0.0000058 * sine_twice * sine_twice) - 3.086e-6 * air.elevation_m;
}

double DragPerM(const Scene& scene) {
  const double area_m2 = std::numbers::pi / 4 * scene.rocket.diameter_m * scene.rocket.diameter_m;
  return AirDensityKgPerM3(scene.air) * scene.flight.drag_coefficient * area_m2 / (2 * scene.rocket.mass_kg);
}

LaunchConditions LaunchOf(const Scene& scene) {
  const double along = scene.flight.direction == "left" ? -1.0 : 1.0;
  const double elevation_rad = scene.flight.elevation_deg * kRadPerDeg;
  const double azimuth_rad = scene.flight.azimuth_deg * kRadPerDeg;
  const double level_m_s = scene.flight.speed_m_s * std::cos(elevation_rad);
  LaunchConditions launch;
  launch.velocity_m_s = {along * level_m_s * std::cos(azimuth_rad),
                         scene.flight.speed_m_s * std::sin(elevation_rad),
                         level_m_s * std::sin(azimuth_rad)};
  launch.wind_m_s = {along * scene.air.wind_along_m_s, 0.0, 0.0};
  launch.drag_per_m = DragPerM(scene);
  launch.drag_change_s = scene.flight.drag_change_s;
  launch.drag_change_factor = scene.flight.drag_change_factor;
  launch.gravity_m_s2 = GravityMPerS2(scene.air);
  launch.landing_y_m = -scene.flight.height_above_landing_m;
  return launch;
}

}  // namespace loftline::render
