// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/fit_flight.h"
#include "fit/simulator/validate_flight.h"
#include "tests/support/synthetic_simulator.h"

#include <algorithm>
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

SyntheticScene Scene() {
  SyntheticScene scene;
  scene.noise_px = 0.1;
  scene.mark_noise_px = 0.0;
  scene.seed = SeedFrom("table findings");
  return scene;
}

const FlightResult& Footage() {
  static const FlightResult result = [] {
    const SyntheticFlight flight = Synthesize(Scene());
    const auto fitted = FitFlight(flight.track, flight.survey);
    EXPECT_TRUE(fitted) << Describe(fitted.error());
    return fitted ? *fitted : FlightResult{};
  }();
  return result;
}

FlightValidation Validated(const SimulatedFlight& simulated, Align align = Align::kLaunch) {
  ValidationOptions options;
  options.align = align;
  const auto validation = ValidateFlight(Footage(), simulated, options);
  EXPECT_TRUE(validation) << Describe(validation.error());
  return validation ? *validation : FlightValidation{};
}

const Finding* Find(const FlightValidation& validation, const std::string& code) {
  for (const Finding& finding : validation.findings) {
    if (finding.code == code) return &finding;
  }
  return nullptr;
}

SimulatedFlight Placed(double drag_factor = 1.0) {
  SyntheticScene scene = Scene();
  scene.drag_per_m *= drag_factor;
  SimulatedFlight flight = Simulate(scene);
  flight.vx_m_per_s.clear();
  flight.vy_m_per_s.clear();
  return flight;
}

TEST(TableFindings, SeeHeightsThatCountDownwards) {
  SimulatedFlight down = Placed();
  for (double& y_m : down.y_m) y_m = -y_m;
  const FlightValidation validation = Validated(down);
  const Finding* axes = Find(validation, "simulator-axes");
  ASSERT_TRUE(axes);
  EXPECT_THAT(axes->message, HasSubstr("downwards"));
  EXPECT_THAT(axes->advice, HasSubstr("y=-y"));
  EXPECT_FALSE(Find(validation, "simulator-shape"));  // what follows from it is not told besides
  EXPECT_TRUE(validation.mends.empty());
  EXPECT_THAT(validation.sentence, HasSubstr("too low"));
}

TEST(TableFindings, SeeColumnsTakenForEachOther) {
  SimulatedFlight swapped = Placed();
  std::swap(swapped.x_m, swapped.y_m);
  const FlightValidation validation = Validated(swapped);
  const Finding* axes = Find(validation, "simulator-axes");
  ASSERT_TRUE(axes);
  EXPECT_THAT(axes->message, HasSubstr("taken for each other"));
}

TEST(TableFindings, SeeNoAxesWhereOnlyTheDragIsOff) {
  for (const double factor : {0.3, 1.0, 3.0}) EXPECT_FALSE(Find(Validated(Placed(factor)), "simulator-axes")) << factor;
}

TEST(TableFindings, SeeASpeedThatIsNone) {
  SimulatedFlight heights = Simulate(Scene());
  heights.speed_m_per_s = heights.vx_m_per_s;
  for (auto* column : {&heights.x_m, &heights.vx_m_per_s, &heights.vy_m_per_s}) column->clear();
  EXPECT_TRUE(Find(Validated(heights), "simulator-columns-disagree"));
}

// Laid where it fits best, range and flight time are not asked about: the table has no lack of them.
TEST(TableFindings, DoNotMissWhatIsNotAskedAbout) {
  EXPECT_FALSE(Find(Validated(Placed(0.8), Align::kFit), "simulator-ends-early"));
}

// Heights to some thousandths of a foot leave the top's time uncertain by a millisecond. That must not hide which
// change would mend a path that is half a metre off.
TEST(TableFindings, MendAlsoWhereTheTableIsRounded) {
  for (const double digit_ft : {0.001, 0.002, 0.01}) {
    SimulatedFlight rounded = Placed(0.8);
    rounded.x_step_m = 0.001;
    rounded.y_step_m = digit_ft * 0.3048;
    for (double& x_m : rounded.x_m) x_m = std::round(x_m / rounded.x_step_m) * rounded.x_step_m;
    for (double& y_m : rounded.y_m) y_m = std::round(y_m / rounded.y_step_m) * rounded.y_step_m;
    const FlightValidation validation = Validated(rounded, Align::kApogee);
    EXPECT_EQ(validation.agreement, Agreement::kDisagrees);
    EXPECT_LT(validation.path.p, 0.05);
    EXPECT_LT(validation.path.outside_m, validation.path.shape_limit_m);
    EXPECT_THAT(validation.sentence, Not(HasSubstr("bends")));
    const auto drag = std::ranges::find(validation.mends, "drag", &Mend::key);
    ASSERT_NE(drag, validation.mends.end());
    EXPECT_TRUE(drag->mends) << drag->p;
    EXPECT_NEAR(drag->change.value, 1.25, 0.1);
  }
}

// A simulator that flies too far comes down after the filmed flight: at the same level, as its range says.
TEST(ComparedPaths, GoOnToTheSimulatorsLanding) {
  const FlightValidation validation = Validated(Placed(0.8));
  ASSERT_FALSE(validation.path.beyond.empty());
  const PathMoment& last = validation.path.moments.back();
  EXPECT_GT(validation.path.beyond.front().time_s, last.time_s);
  const SimulatedPlace *above = nullptr, *below = nullptr;
  for (const SimulatedPlace& place : validation.path.beyond) {
    (place.at_m.y() >= last.measured_m.y() ? above : below) = &place;
  }
  ASSERT_TRUE(above && below);
  const auto range = std::ranges::find(validation.quantities, "range_m", &ValidatedQuantity::key);
  ASSERT_NE(range, validation.quantities.end());
  EXPECT_GT(below->at_m.x(), range->simulated.value);
  EXPECT_NEAR(below->at_m.x(), range->simulated.value, 0.3);
  EXPECT_TRUE(Validated(Placed(1.5)).path.beyond.empty());  // down before
}

// Two digits of the uncertainty: "+1.24 degrees (95 %: +1.18 to +1.30)", not "+1 degrees (95 %: +1 to +1)".
TEST(TableFindings, RoundAdviceByItsUncertainty) {
  SyntheticScene scene = Scene();
  scene.angle_deg -= 1.24;
  const Finding* flat = nullptr;
  const FlightValidation validation = Validated(Simulate(scene));
  flat = Find(validation, "launch-too-flat");
  ASSERT_TRUE(flat);
  EXPECT_THAT(flat->advice, testing::ContainsRegex(R"(\+1\.[0-9]+ degrees \(95 %: \+1\.[0-9]+ to \+1\.[0-9]+\))"));
}

}  // namespace
}  // namespace loftline
