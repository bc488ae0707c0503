// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/predict_flight.h"

#include "core/measured.h"

#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

PredictedFlight Predicted(const PredictedLaunch& launch, int samples = 160) {
  const Expected<PredictedFlight> flight = PredictFlight(launch, samples);
  EXPECT_TRUE(flight) << Describe(flight.error());
  return flight ? *flight : PredictedFlight{};
}

// Exact cases (quadrature of the hodograph, Parker, Am. J. Phys. 45 (1977) 606), g = 9.80665; nine digits were printed.
TEST(PredictFlight, AgreesWithExactObliqueFlights) {
  struct Case {
    double speed, angle, drag, time_up, apogee, time, range, impact;
  };
  for (const Case& c : {Case{20, 45, 0.01, 1.29629839, 8.78533075, 2.67414054, 31.3312664, 15.7166638},
                        Case{20, 60, 0.02, 1.43764324, 11.3527607, 3.03886763, 21.7738381, 14.1511829},
                        Case{15, 80, 0.05, 1.15129274, 7.42042603, 2.46243303, 4.31773313, 10.1799794}}) {
    const PredictedFlight flight = Predicted({c.speed, c.angle, c.drag});
    EXPECT_NEAR(flight.time_to_apogee_s.value, c.time_up, 1e-8);
    EXPECT_NEAR(flight.apogee_m.value, c.apogee, 1e-7);
    EXPECT_NEAR(flight.flight_time_s.value, c.time, 1e-8);
    EXPECT_NEAR(flight.range_m.value, c.range, 1e-7);
    EXPECT_NEAR(flight.impact_speed_m_s.value, c.impact, 1e-7);
  }
}

// Closed forms of Timmerman & van der Weele, Am. J. Phys. 67 (1999) 538: v0 = 20 m/s, k = 0.02 1/m.
TEST(PredictFlight, AgreesWithClosedFormsOfVerticalFlight) {
  const double v0 = 20.0, k = 0.02, g = 9.80665, terminal = std::sqrt(g / k);
  const PredictedFlight flight = Predicted({v0, 90.0, k, g});
  EXPECT_NEAR(flight.terminal_speed_m_s, terminal, 1e-9);
  EXPECT_NEAR(flight.apogee_m.value, std::log(1.0 + k * v0 * v0 / g) / (2.0 * k), 1e-7);
  EXPECT_NEAR(flight.time_to_apogee_s.value, terminal / g * std::atan(v0 / terminal), 1e-7);
  EXPECT_NEAR(
      flight.flight_time_s.value - flight.time_to_apogee_s.value, terminal / g * std::asinh(v0 / terminal), 1e-7);
  EXPECT_NEAR(flight.impact_speed_m_s.value, v0 / std::sqrt(1.0 + k * v0 * v0 / g), 1e-7);
  // d apogee / d ln k of the same closed form.
  const double x = k * v0 * v0 / g;
  EXPECT_NEAR(flight.apogee_m.by_log_drag, (x / (1.0 + x) - std::log(1.0 + x)) / (2.0 * k), 1e-6);
}

// Without drag the range is v^2 sin 2a / g, and every derivative is a school formula.
TEST(PredictFlight, WithoutDragIsTheSchoolParabola) {
  const double v0 = 20.0, g = 9.80665, angle = RadFromDeg(60.0);
  const PredictedFlight flight = Predicted({v0, 60.0, 0.0, g});
  EXPECT_NEAR(flight.range_m.value, v0 * v0 * std::sin(2 * angle) / g, 1e-6);
  EXPECT_NEAR(flight.range_m.by_speed_s_per_m, 2 * v0 * std::sin(2 * angle) / g, 1e-6);
  EXPECT_NEAR(flight.range_m.by_angle_per_deg, RadFromDeg(2 * v0 * v0 * std::cos(2 * angle) / g), 1e-6);
  EXPECT_NEAR(flight.range_m.by_landing_per_m, 1.0 / std::tan(angle), 1e-6);
  EXPECT_NEAR(flight.range_m.by_log_drag, 0.0, 1e-8);
  EXPECT_NEAR(flight.flight_time_s.by_speed_s_per_m, 2 * std::sin(angle) / g, 1e-7);
  EXPECT_TRUE(std::isinf(flight.terminal_speed_m_s));
}

// Derivatives against differences; 1e-6 is the differences' own error at these steps.
TEST(PredictFlight, DerivativesAgreeWithDifferences) {
  const PredictedLaunch middle{23.0, 58.0, 0.024, 9.81, -1.3, 0.7};
  const PredictedFlight flight = Predicted(middle, 0);
  const auto check =
      [&](const PredictedLaunch& less, const PredictedLaunch& more, double width, double PredictedValue::*derivative) {
        const PredictedFlight low = Predicted(less, 0), high = Predicted(more, 0);
        for (PredictedValue PredictedFlight::*quantity : {&PredictedFlight::apogee_m,
                                                          &PredictedFlight::time_to_apogee_s,
                                                          &PredictedFlight::range_m,
                                                          &PredictedFlight::flight_time_s,
                                                          &PredictedFlight::impact_speed_m_s}) {
          const double expected = ((high.*quantity).value - (low.*quantity).value) / width;
          EXPECT_NEAR((flight.*quantity).*derivative, expected, 1e-6 * std::max(1.0, (flight.*quantity).value));
        }
      };
  constexpr double kStep = 1e-4;
  const auto changed = [&](double PredictedLaunch::*member, double by) {
    PredictedLaunch launch = middle;
    launch.*member += by;
    return launch;
  };
  const auto check_member = [&](double PredictedLaunch::*member, double PredictedValue::*derivative) {
    check(changed(member, -kStep), changed(member, kStep), 2 * kStep, derivative);
  };
  check_member(&PredictedLaunch::speed_m_s, &PredictedValue::by_speed_s_per_m);
  check_member(&PredictedLaunch::angle_deg, &PredictedValue::by_angle_per_deg);
  check_member(&PredictedLaunch::wind_along_m_s, &PredictedValue::by_wind_s_per_m);
  check_member(&PredictedLaunch::height_above_landing_m, &PredictedValue::by_landing_per_m);
  PredictedLaunch less = middle, more = middle;
  less.drag_per_m *= std::exp(-kStep);
  more.drag_per_m *= std::exp(kStep);
  check(less, more, 2 * kStep, &PredictedValue::by_log_drag);
}

TEST(PredictFlight, PathRunsFromLaunchToLanding) {
  const PredictedLaunch launch{25.0, 60.0, 0.02, 9.81, 0.5, 0.4};
  const PredictedFlight flight = Predicted(launch, 50);
  ASSERT_EQ(flight.path.size(), 51u);
  EXPECT_EQ(flight.path.front().in_plane_m, Eigen::Vector2d::Zero());
  EXPECT_NEAR(flight.path.front().velocity_m_per_s.norm(), 25.0, 1e-12);
  EXPECT_NEAR(flight.path.back().in_plane_m.x(), flight.range_m.value, 1e-7);
  EXPECT_NEAR(flight.path.back().in_plane_m.y(), -0.4, 1e-7);
  EXPECT_NEAR(flight.path.back().time_s, flight.flight_time_s.value, 1e-9);
  const PredictedSample middle = PredictAt(launch, flight.path[20].time_s);
  EXPECT_LT((middle.in_plane_m - flight.path[20].in_plane_m).norm(), 1e-7);
  EXPECT_TRUE(Predicted(launch, 0).path.empty());
}

TEST(PredictFlight, ThrownDownHasNoApogee) {
  const PredictedFlight flight = Predicted({10.0, -20.0, 0.02, 9.81, 0.0, 1.5});
  EXPECT_EQ(flight.apogee_m.value, 0.0);
  EXPECT_GT(flight.range_m.value, 0.0);
}

TEST(PredictFlight, RefusesWhatIsImpossible) {
  const double not_a_number = std::nan("");
  for (const PredictedLaunch& launch : {PredictedLaunch{0.0, 60.0, 0.02},
                                        PredictedLaunch{-5.0, 60.0, 0.02},
                                        PredictedLaunch{25.0, 95.0, 0.02},
                                        PredictedLaunch{25.0, not_a_number, 0.02},
                                        PredictedLaunch{25.0, 60.0, -0.01},
                                        PredictedLaunch{25.0, 60.0, 0.02, 0.0},
                                        PredictedLaunch{25.0, 60.0, 0.02, 9.81, not_a_number}}) {
    const Expected<PredictedFlight> flight = PredictFlight(launch);
    ASSERT_FALSE(flight);
    EXPECT_EQ(flight.error().code, "impossible-launch");
  }
  const Expected<PredictedFlight> flight = PredictFlight({10.0, 60.0, 0.02, 9.81, 0.0, -30.0});
  ASSERT_FALSE(flight);
  EXPECT_EQ(flight.error().code, "never-lands");
}

}  // namespace
}  // namespace loftline
