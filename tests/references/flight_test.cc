// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/csv_file.h"
#include "fit/derived_quantities.h"
#include "fit/flight_model.h"

#include <array>
#include <numbers>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_odeiv2.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

MotionVector Launch(double speed_m_per_s, double angle_deg, double drag_per_m) {
  MotionVector motion = MotionVector::Zero();
  motion[kForwardMPerS] = speed_m_per_s * std::cos(RadFromDeg(angle_deg));
  motion[kUpMPerS] = speed_m_per_s * std::sin(RadFromDeg(angle_deg));
  motion[kLogDrag] = std::log(drag_per_m);
  return motion;
}

CsvTable Table(const char* name) {
  const auto table = ReadCsv(std::string(LOFTLINE_SOURCE_DIR "/tests/references/data/") + name, CsvRules{{}, {}, true});
  EXPECT_TRUE(table) << Describe(table.error());
  return *table;
}

// Closed forms of Timmerman & van der Weele, Am. J. Phys. 67 (1999) 538, evaluated with 20 digits (the file says how).
// 5e-9: straight up, drag turns over like -v |v| within one step at the apogee, where no formula keeps its order.
TEST(VerticalFlight, AgreesWithClosedForms) {
  const CsvTable table = Table("vertical_quadratic_drag.csv");
  ASSERT_GE(table.rows.size(), 5u);
  for (const CsvRow& row : table.rows) {
    const double g = *table.Number(row, "g_m_s2");
    const FlightMilestones flight =
        Milestones(Launch(*table.Number(row, "v0_m_s"), 90.0, *table.Number(row, "b_1_m")), {g}, 0.0);
    const auto near = [&](double value, const char* column) {
      EXPECT_NEAR(value, *table.Number(row, column), 5e-9 * *table.Number(row, column))
          << column << " line " << row.line;
    };
    near(flight.apogee_m.value, "h_apex_m");
    near(flight.time_to_apogee_s.value, "t_up_s");
    near(flight.impact_speed_m_s->value, "v_impact_m_s");
    near(flight.flight_time_s->value, "t_total_s");
  }
}

// Exact to all digits shown: quadrature of the hodograph and an 8th-order integration agree (the file says how). The
// first row is the published example of Hill, Learning Scientific Programming with Python, 2nd ed., chapter 8, "A
// projectile with air resistance"; his own program prints 2.79 s, 49.42 m, 6.34 s, 64.12 m.
TEST(ObliqueFlight, AgreesWithExactCases) {
  const CsvTable table = Table("projectile_quadratic_drag.csv");
  ASSERT_GE(table.rows.size(), 15u);
  for (const CsvRow& row : table.rows) {
    const MotionVector launch =
        Launch(*table.Number(row, "v0_m_s"), *table.Number(row, "angle_deg"), *table.Number(row, "b_1_m"));
    const FlightMilestones flight = Milestones(launch, {*table.Number(row, "g_m_s2")}, 0.0);
    const auto near = [&](double value, const char* column) {
      EXPECT_NEAR(value, *table.Number(row, column), 1e-9 * *table.Number(row, column))
          << column << " line " << row.line;
    };
    near(flight.apogee_m.value, "h_apex_m");
    near(flight.time_to_apogee_s.value, "t_apex_s");
    near(flight.range_m->value, "range_m");
    near(flight.flight_time_s->value, "t_land_s");
    near(flight.impact_speed_m_s->value, "v_land_m_s");
  }
}

TEST(ObliqueFlight, AgreesWithPrintedExample) {
  const FlightMilestones flight =
      Milestones(Launch(50, 65, 0.5 * 1.28 * 0.47 * std::numbers::pi * 0.0025 / 0.2), {9.81}, 0.0);
  // Printed to two decimals by a program that is right to 0.05 % only.
  EXPECT_NEAR(flight.time_to_apogee_s.value, 2.79, 0.006);
  EXPECT_NEAR(flight.apogee_m.value, 49.42, 0.03);
  EXPECT_NEAR(flight.flight_time_s->value, 6.34, 0.006);
  EXPECT_NEAR(flight.range_m->value, 64.12, 0.06);
}

// The classical first integral (Euler 1753; Parker, Am. J. Phys. 45 (1977) 606):
// v(th) = v0 cos th0 / {cos th sqrt[1 + (k v0^2 cos^2 th0 / g)(f(th0) - f(th))]}, f = sin/cos^2 + ln tan(th/2 + pi/4).
TEST(ObliqueFlight, KeepsTheHodograph) {
  const double v0 = 24.0, th0 = RadFromDeg(63.0), k = 0.03, g = 9.80665;
  const auto f = [](double th) {
    return std::sin(th) / (std::cos(th) * std::cos(th)) + std::log(std::tan(th / 2 + std::numbers::pi / 4));
  };
  EXPECT_NEAR(f(std::numbers::pi / 4), 2.295587149392638, 1e-14);  // sqrt 2 + ln(1 + sqrt 2)
  const FlightForces<double> forces{g, k, 0.0};
  FlightState<double> state{{0, 0, 0}, {v0 * std::cos(th0), v0 * std::sin(th0), 0}};
  for (int i = 0; i < 30; ++i) {
    state = FlyFor(forces, state, 0.1, LongestStepS(k, v0));
    const double th = std::atan2(state.velocity_m_per_s.y(), state.velocity_m_per_s.x());
    const double root = std::sqrt(1 + k * v0 * v0 * std::cos(th0) * std::cos(th0) / g * (f(th0) - f(th)));
    const double expected = v0 * std::cos(th0) / (std::cos(th) * root);
    EXPECT_NEAR(state.velocity_m_per_s.norm(), expected, 1e-9 * expected);
  }
}

struct GslForces {
  double g, k, wind_x;
};

int GslRate(double /*t*/, const double* s, double* rate, void* parameters) {
  const auto* forces = static_cast<const GslForces*>(parameters);
  const double ux = s[3] - forces->wind_x;
  const double speed = std::sqrt(ux * ux + s[4] * s[4] + s[5] * s[5]);
  for (int i = 0; i < 3; ++i) rate[i] = s[3 + i];
  rate[3] = -forces->k * speed * ux;
  rate[4] = -forces->k * speed * s[4] - forces->g;
  rate[5] = -forces->k * speed * s[5];
  return GSL_SUCCESS;
}

// GNU Scientific Library, Runge-Kutta-Prince-Dormand 8(9) at 1e-13.
TEST(Integrator, AgreesWithGslTo1e9) {
  for (const auto& [speed, k, wind] :
       {std::array{30.0, 0.005, 0.0}, {25.0, 0.05, 3.0}, {35.0, 0.25, -4.0}, {12.0, 1e-6, 2.0}}) {
    GslForces forces{9.81, k, wind};
    gsl_odeiv2_system system{GslRate, nullptr, 6, &forces};
    gsl_odeiv2_driver* driver = gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1e-4, 1e-13, 1e-13);
    double expected[6] = {0, 0, 0, 0.4 * speed, 0.9 * speed, 0.1 * speed};
    FlightState<double> state{{0, 0, 0}, {0.4 * speed, 0.9 * speed, 0.1 * speed}};
    double time_s = 0.0;
    for (int i = 1; i <= 40; ++i) {
      ASSERT_EQ(gsl_odeiv2_driver_apply(driver, &time_s, 0.1 * i, expected), GSL_SUCCESS);
      state = FlyFor(FlightForces<double>{9.81, k, wind}, state, 0.1, LongestStepS(k, speed + std::abs(wind)));
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_NEAR(state.at_m[axis], expected[axis], 1e-9 * std::max(1.0, std::abs(expected[axis])))
            << k << " at " << time_s;
        EXPECT_NEAR(state.velocity_m_per_s[axis], expected[3 + axis], 1e-9 * speed) << k << " at " << time_s;
      }
    }
    gsl_odeiv2_driver_free(driver);
  }
}

TEST(Integrator, FliesBackToWhereItCameFrom) {
  const FlightForces<double> forces{9.81, 0.04, 1.0};
  const FlightState<double> start{{0, 0, 0}, {8, 20, 1}};
  const FlightState<double> there = FlyFor(forces, start, 1.3, 0.005);
  const FlightState<double> back = FlyFor(forces, there, -1.3, 0.005);
  EXPECT_LT((back.at_m - start.at_m).norm(), 1e-8);
  EXPECT_LT((back.velocity_m_per_s - start.velocity_m_per_s).norm(), 1e-8);
}

// Exact facts of flight without drag, and theorems with drag (common knowledge of mechanics).
TEST(ObliqueFlight, WithoutDragIsAParabola) {
  const FlightMilestones flight = Milestones(Launch(20, 60, 1e-12), {9.80665}, 0.0);
  EXPECT_NEAR(flight.range_m->value, 35.3240058, 1e-6);
  EXPECT_NEAR(flight.apogee_m.value, 15.2957432, 1e-6);
  EXPECT_NEAR(flight.flight_time_s->value, 3.5324006, 1e-6);
}

TEST(ObliqueFlight, WithDragComesDownSteeperSlowerAndLater) {
  const FlightMilestones flight = Milestones(Launch(22, 55, 0.03), {9.80665}, 0.0);
  EXPECT_LT(2 * flight.time_to_apogee_s.value, flight.flight_time_s->value);
  EXPECT_LT(flight.impact_speed_m_s->value, 22.0);
}

}  // namespace
}  // namespace loftline
