// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The truth generator's flight against exact solutions and published values.
#include "sample-clips/render/trajectory.h"

#include "sample-clips/render/body_motion.h"

#include <cmath>
#include <fstream>
#include <numbers>
#include <sstream>

#include <gtest/gtest.h>

namespace loftline::render {
namespace {

constexpr double kRadPerDeg = std::numbers::pi / 180.0;

LaunchConditions Launch(double speed_m_s, double angle_deg, double drag_per_m, double gravity_m_s2) {
  LaunchConditions launch;
  launch.velocity_m_s = {
      speed_m_s * std::cos(angle_deg * kRadPerDeg), speed_m_s * std::sin(angle_deg * kRadPerDeg), 0.0};
  launch.drag_per_m = drag_per_m;
  launch.gravity_m_s2 = gravity_m_s2;
  return launch;
}

// Exact cases by quadrature of the hodograph (Parker, Am. J. Phys. 45 (1977) 606), see the table's own head. They print
// 12 digits and are good to 1e-10; the solver works at 1e-10 relative a step, hence 1e-9.
TEST(Trajectory, AgreesWithExactCases) {
  std::ifstream file(LOFTLINE_SOURCE_DIR "/tests/references/data/projectile_quadratic_drag.csv");
  ASSERT_TRUE(file);
  int cases = 0;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line[0] == '#' || line.rfind("case,", 0) == 0) continue;
    std::istringstream cells(line);
    std::string name, cell;
    std::getline(cells, name, ',');
    std::vector<double> v;
    while (std::getline(cells, cell, ',')) v.push_back(std::stod(cell));
    ASSERT_EQ(v.size(), 12u) << line;
    const Trajectory flight(Launch(v[0], v[1], v[3], v[2]));
    const FlightState apex = flight.At(flight.time_to_apogee_s());
    EXPECT_NEAR(flight.time_to_apogee_s(), v[4], 1e-9 * v[4]) << name;
    EXPECT_NEAR(apex.at_m.x(), v[5], 1e-9 * v[5]) << name;
    EXPECT_NEAR(flight.apogee_m(), v[6], 1e-9 * v[6]) << name;
    EXPECT_NEAR(apex.velocity_m_s.norm(), v[7], 1e-8 * v[7]) << name;
    EXPECT_NEAR(flight.flight_time_s(), v[8], 1e-9 * v[8]) << name;
    EXPECT_NEAR(flight.range_m(), v[9], 1e-9 * v[9]) << name;
    EXPECT_NEAR(flight.impact_speed_m_s(), v[10], 1e-9 * v[10]) << name;
    ++cases;
  }
  EXPECT_EQ(cases, 15);
}

TEST(Trajectory, IsTheParabolaWithoutDrag) {
  LaunchConditions launch = Launch(20, 60, 0.0, 9.80665);
  launch.landing_y_m = -0.7;
  const Trajectory flight(launch);
  const double up = 20 * std::sin(60 * kRadPerDeg), g = 9.80665;
  EXPECT_NEAR(flight.apogee_m(), up * up / (2 * g), 1e-10);
  const double land_s = (up + std::sqrt(up * up + 2 * g * 0.7)) / g;
  EXPECT_NEAR(flight.flight_time_s(), land_s, 1e-10);
  EXPECT_NEAR(flight.range_m(), 20 * std::cos(60 * kRadPerDeg) * land_s, 1e-9);
}

// Only the speed through the air matters: the same flight seen from air that moves is the flight in still air, carried
// along.
TEST(Trajectory, IsCarriedAlongByTheWind) {
  const Eigen::Vector3d wind_m_s(1.3, 0.0, -0.4);
  LaunchConditions still = Launch(18, 55, 0.03, 9.81);
  LaunchConditions windy = still;
  windy.velocity_m_s += wind_m_s;
  windy.wind_m_s = wind_m_s;
  const Trajectory a(still), b(windy);
  ASSERT_NEAR(a.flight_time_s(), b.flight_time_s(), 1e-9);
  for (const double t : {0.1, 0.777, 1.5, 2.2}) {
    EXPECT_LT((b.At(t).at_m - a.At(t).at_m - t * wind_m_s).norm(), 1e-9) << t;
  }
}

// CIPM-2007 (Picard et al., Metrologia 45 (2008) 149), recomputed from the published formula; the OIML approximation
// used here is stated to 2e-4 (OIML R 111-1, E.3; the bound from memory).
TEST(Air, DensityAgreesWithCipm2007) {
  const struct {
    double t_c, p_hpa, h_percent, rho;
  } cases[] = {{20, 1013.25, 50, 1.1993139},
               {20, 1000, 50, 1.1835566},
               {10, 1013.25, 80, 1.2426722},
               {25, 1013.25, 40, 1.1787102}};
  for (const auto& c : cases) {
    Air air;
    air.temperature_c = c.t_c;
    air.pressure_hpa = c.p_hpa;
    air.humidity_percent = c.h_percent;
    EXPECT_NEAR(AirDensityKgPerM3(air) / c.rho, 1.0, 3e-4) << c.t_c;
  }
}

// Normal gravity of GRS 80 (Moritz, Geodetic Reference System 1980) at the equator, 45 deg and the pole.
TEST(Air, GravityAgreesWithGrs80) {
  const std::pair<double, double> cases[] = {{0, 9.7803267715}, {45, 9.8061992025}, {90, 9.8321863685}};
  for (const auto& [latitude_deg, g] : cases) {
    Air air;
    air.latitude_deg = latitude_deg;
    air.elevation_m = 0;
    EXPECT_NEAR(GravityMPerS2(air), g, 2e-6) << latitude_deg;
  }
}

TEST(BodyMotion, PushEndsAtTheMouthWithTheLaunchSpeed) {
  Scene scene;
  const BodyMotion motion(scene);
  const double launch_s = scene.flight.launch_s, step_s = 1e-6;
  EXPECT_LT(motion.At(launch_s).middle_m.norm(), 1e-12);
  const double before = motion.At(launch_s - step_s).middle_m.norm() / step_s;
  const double after = motion.At(launch_s + step_s).middle_m.norm() / step_s;
  EXPECT_NEAR(before, scene.flight.speed_m_s, 0.01);
  EXPECT_NEAR(after, scene.flight.speed_m_s, 0.01);
  EXPECT_EQ(motion.At(0.0).state, BodyState::kWaiting);
  EXPECT_EQ(motion.At(launch_s - 0.002).state, BodyState::kPush);
  EXPECT_EQ(motion.At(launch_s + 0.002).state, BodyState::kFlight);
  EXPECT_EQ(motion.At(motion.landing_s() + 0.002).state, BodyState::kLanded);
  EXPECT_NEAR(motion.At(motion.landing_s()).middle_m.y(), -scene.flight.height_above_landing_m, 1e-9);
}

TEST(BodyMotion, FliesNoseFirst) {
  Scene scene;
  scene.flight.wobble_deg = 0;
  const BodyMotion motion(scene);
  for (const double flight_s : {0.0, 0.5, 1.0, 2.0}) {
    const Eigen::Vector3d heading = motion.trajectory().At(flight_s).velocity_m_s.normalized();
    EXPECT_GT(motion.At(scene.flight.launch_s + flight_s).axis.dot(heading), 0.995) << flight_s;
  }
}

// Straight up: up to the change with k, then with 2 k, each by the closed form  v^2 = (g/k + v0^2) exp(-2 k h) - g/k.
TEST(Trajectory, TakesMoreDragFromTheChangeOn) {
  LaunchConditions launch;
  launch.velocity_m_s = {0, 25, 0};
  launch.drag_per_m = 0.03;
  launch.drag_change_s = 0.5;
  launch.drag_change_factor = 2.0;
  const Trajectory flight(launch);
  const FlightState at_change = flight.At(0.5);
  const auto speed2 = [&](double k, double from_m_s, double height_m) {
    const double terminal2 = launch.gravity_m_s2 / k;
    return (terminal2 + from_m_s * from_m_s) * std::exp(-2 * k * height_m) - terminal2;
  };
  EXPECT_NEAR(at_change.velocity_m_s.y(), std::sqrt(speed2(0.03, 25, at_change.at_m.y())), 1e-6);
  const FlightState later = flight.At(0.9);
  EXPECT_NEAR(later.velocity_m_s.y(),
              std::sqrt(speed2(0.06, at_change.velocity_m_s.y(), later.at_m.y() - at_change.at_m.y())),
              1e-4);  // the integrator steps over the change
}

}  // namespace
}  // namespace loftline::render
