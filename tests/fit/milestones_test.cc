// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/derived_quantities.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

MotionVector SomeMotion() {
  MotionVector motion;
  motion << -9.0, 17.0, 0.05, std::log(0.024), -1.3, 0.0;
  return motion;
}

// Derivatives against central differences of the values. 1e-6: the differences' own error at a step of 1e-4.
TEST(Milestones, DerivativesAgreeWithDifferences) {
  const double g = 9.81, height_m = 0.7;
  const FlightMilestones middle = Milestones(SomeMotion(), {g}, height_m);
  for (int i = 0; i < kMotionSize; ++i) {
    constexpr double kStep = 1e-4;
    MotionVector above = SomeMotion(), below = SomeMotion();
    above[i] += kStep;
    below[i] -= kStep;
    const FlightMilestones a = Milestones(above, {g}, height_m), b = Milestones(below, {g}, height_m);
    const auto near = [&](const Sensitive& m, const Sensitive& plus, const Sensitive& minus, const char* what) {
      EXPECT_NEAR(m.by_motion[i], (plus.value - minus.value) / (2 * kStep), 1e-6 * std::max(1.0, std::abs(m.value)))
          << what << i;
    };
    near(middle.launch_speed_m_s, a.launch_speed_m_s, b.launch_speed_m_s, "speed");
    near(middle.launch_angle_deg, a.launch_angle_deg, b.launch_angle_deg, "angle");
    near(middle.apogee_m, a.apogee_m, b.apogee_m, "apogee");
    near(middle.time_to_apogee_s, a.time_to_apogee_s, b.time_to_apogee_s, "time to apogee");
    near(*middle.range_m, *a.range_m, *b.range_m, "range");
    near(*middle.flight_time_s, *a.flight_time_s, *b.flight_time_s, "flight time");
    near(*middle.impact_speed_m_s, *a.impact_speed_m_s, *b.impact_speed_m_s, "impact speed");
  }
}

TEST(Milestones, LandingLevelDerivativesAgreeWithDifferences) {
  constexpr double kStep = 1e-4;
  const FlightMilestones middle = Milestones(SomeMotion(), {9.81}, 0.7);
  const FlightMilestones a = Milestones(SomeMotion(), {9.81}, 0.7 + kStep),
                         b = Milestones(SomeMotion(), {9.81}, 0.7 - kStep);
  EXPECT_NEAR(
      middle.flight_time_by_landing_s_per_m, (a.flight_time_s->value - b.flight_time_s->value) / (2 * kStep), 1e-6);
  EXPECT_NEAR(middle.impact_speed_by_landing_per_s,
              (a.impact_speed_m_s->value - b.impact_speed_m_s->value) / (2 * kStep),
              1e-6);
  // The sideways part turns with the path and is left out of this derivative: it is second order in the azimuth.
  EXPECT_NEAR(middle.range_by_landing, (a.range_m->value - b.range_m->value) / (2 * kStep), 1e-3);
}

TEST(Milestones, ThrownDownHasNoApogee) {
  MotionVector motion = SomeMotion();
  motion[kUpMPerS] = -2.0;
  const FlightMilestones milestones = Milestones(motion, {9.81}, 1.0);
  EXPECT_EQ(milestones.time_to_apogee_s.value, 0.0);
  EXPECT_TRUE(milestones.range_m.has_value());
}

TEST(Milestones, LandingAboveTheApogeeGivesNone) {
  EXPECT_FALSE(Milestones(SomeMotion(), {9.81}, -30.0).range_m.has_value());
}

}  // namespace
}  // namespace loftline
