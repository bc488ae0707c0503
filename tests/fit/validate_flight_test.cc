// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/validate_flight.h"

#include "fit/fit_flight.h"
#include "fit/simulator/validated_quantities.h"
#include "tests/support/synthetic_simulator.h"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

SyntheticScene Scene() {
  SyntheticScene scene;
  scene.noise_px = 0.1;
  scene.mark_noise_px = 0.0;
  scene.seed = SeedFrom("validate");
  return scene;
}

FlightResult Measured(const SyntheticScene& scene) {
  const SyntheticFlight flight = Synthesize(scene);
  FitOptions options;
  options.mass_kg = loftline::Measured{8e-3, 1e-4};
  options.diameter_m = loftline::Measured{0.022, 2e-4};
  const auto result = FitFlight(flight.track, flight.survey, options);
  EXPECT_TRUE(result) << Describe(result.error());
  return result ? *result : FlightResult{};
}
const FlightResult& Typical() {
  static const FlightResult result = Measured(Scene());
  return result;
}

FlightValidation Validated(const SimulatedFlight& simulated,
                           const ValidationOptions& options = {},
                           const FlightResult& result = Typical()) {
  const auto validation = ValidateFlight(result, simulated, options);
  EXPECT_TRUE(validation) << Describe(validation.error());
  return validation ? *validation : FlightValidation{};
}

bool Says(const FlightValidation& validation, const std::string& code) {
  return std::any_of(validation.findings.begin(), validation.findings.end(), [&](const Finding& finding) {
    return finding.code == code;
  });
}
const ValidatedQuantity* Find(const FlightValidation& validation, const std::string& key) {
  for (const ValidatedQuantity& quantity : validation.quantities) {
    if (quantity.key == key) return &quantity;
  }
  return nullptr;
}

// Worked by hand with the definitions of ASME V&V 20-2009 (E = S - D; u_val^2 = u_num^2 + u_input^2 + u_D^2); the
// numbers are made up: S = 17.104 m, D = 16.500 m, u_num = 0.010, u_input = 0.350, u_D = 0.300 m.
TEST(CompareValues, FollowsTheStandardsArithmetic) {
  const double simulator_std = std::hypot(0.010, 0.350);
  const SimulatorError error = CompareValues({17.104, simulator_std}, {16.5, 0.3}, 2.0, 5.0);
  EXPECT_NEAR(error.error, 0.604, 1e-12);
  EXPECT_NEAR(error.error_std, 0.4610857, 5e-8);
  EXPECT_NEAR(error.error / error.error_std, 1.3099518, 5e-8);
  EXPECT_NEAR(error.high_95, 0.604 + 2 * 0.4610857, 1e-6);
  EXPECT_EQ(error.agreement, Agreement::kAgrees);
}

TEST(CompareValues, SaysWhenItCannotTell) {
  EXPECT_EQ(AgreementOf(0.1, 0.2, 0.5), Agreement::kAgrees);
  EXPECT_EQ(AgreementOf(0.1, 0.6, 0.5), Agreement::kTooUncertain);
  EXPECT_EQ(AgreementOf(-0.7, 0.6, 0.5), Agreement::kDisagrees);  // seen for all its size
}

// A perfect simulator that writes two rows a second, and no velocities: what lies between its rows is not held against
// it, and a wrong drag still is.
TEST(ValidateFlight, CountsWhatCoarseRowsLeaveOpen) {
  const auto coarse = [](double drag_factor) {
    SyntheticScene scene = Scene();
    scene.drag_per_m *= drag_factor;
    SimulatedFlight simulated = Simulate(scene, 0.5);
    simulated.vx_m_per_s.clear();
    simulated.vy_m_per_s.clear();
    return Validated(simulated);
  };
  const FlightValidation right = coarse(1.0);
  EXPECT_EQ(right.agreement, Agreement::kAgrees) << right.sentence;
  EXPECT_TRUE(Says(right, "simulator-rows-coarse"));
  for (const ValidatedQuantity& quantity : right.quantities) {
    EXPECT_NE(quantity.agreement, Agreement::kDisagrees) << quantity.key << " " << quantity.error;
  }
  ASSERT_TRUE(Find(right, "launch_speed_m_s"));
  EXPECT_GT(Find(right, "launch_speed_m_s")->simulated.std, 0.05);
  EXPECT_EQ(coarse(1.5).agreement, Agreement::kDisagrees);
  EXPECT_FALSE(Says(Validated(Simulate(Scene())), "simulator-rows-coarse"));
}

TEST(ValidateFlight, AcceptsAPerfectSimulator) {
  const FlightValidation validation = Validated(Simulate(Scene()));
  EXPECT_EQ(validation.agreement, Agreement::kAgrees) << validation.sentence;
  EXPECT_GT(validation.path.p, 0.05);
  EXPECT_LE(validation.path.dof, 5);
  EXPECT_EQ(validation.quantities.size(), 7U);
  for (const ValidatedQuantity& quantity : validation.quantities) {
    EXPECT_LT(std::abs(quantity.error), 3.0 * quantity.error_std + 1e-9) << quantity.key;
  }
  EXPECT_TRUE(validation.findings.empty()) << validation.findings.front().code;
}

// E at each moment: its u_val is what the result itself says of height, where the simulator says nothing of its own.
TEST(ValidateFlight, MomentsCarryTheResultsOwnUncertainty) {
  const FlightValidation validation = Validated(Simulate(Scene()));
  ASSERT_EQ(validation.path.moments.size(), 81U);
  const double apogee_s = Typical().flight.time_to_apogee_s->value;
  const auto top = std::min_element(
      validation.path.moments.begin(), validation.path.moments.end(), [&](const PathMoment& a, const PathMoment& b) {
        return std::abs(a.time_s - apogee_s) < std::abs(b.time_s - apogee_s);
      });
  EXPECT_NEAR(top->error_std_m.y(), Typical().flight.apogee_m->std, 0.05 * Typical().flight.apogee_m->std);
  EXPECT_NEAR(top->measured_m.y(), Typical().flight.apogee_m->value, 0.01);
  EXPECT_LT(validation.path.moments.front().error_std_m.norm(), 1e-6);  // both leave from the launch point
  // Where the picture shows it: the track's own pixels.
  const FittedPoint& point = Typical().points[40];
  const auto near = std::min_element(
      validation.path.moments.begin(), validation.path.moments.end(), [&](const PathMoment& a, const PathMoment& b) {
        return std::abs(a.time_s - point.time_s) < std::abs(b.time_s - point.time_s);
      });
  EXPECT_LT((near->measured_px - point.seen_in_px).norm(), 15.0);  // half a step of 0.04 s at 10 m/s
}

TEST(ValidateFlight, NamesADragThatIsOff) {
  SyntheticScene scene = Scene();
  for (const double factor : {0.7, 1.4}) {
    scene.drag_per_m = factor * Scene().drag_per_m;
    const FlightValidation validation = Validated(Simulate(scene));
    EXPECT_EQ(validation.agreement, Agreement::kDisagrees) << factor;
    EXPECT_TRUE(Says(validation, factor < 1.0 ? "too-little-drag" : "too-much-drag")) << factor;
    ASSERT_FALSE(validation.mends.empty());
    const Mend& best = validation.mends.front();
    EXPECT_EQ(best.key, "drag");
    EXPECT_TRUE(best.mends);
    EXPECT_LE(best.change.low_95, 1.0 / factor);
    EXPECT_GE(best.change.high_95, 1.0 / factor);
    EXPECT_NEAR(validation.drag.simulated_per_m, scene.drag_per_m, 0.01 * scene.drag_per_m);
    EXPECT_NEAR(*validation.drag.simulated_coefficient / validation.drag.measured_coefficient->value, factor, 0.1);
  }
}

TEST(ValidateFlight, NamesALaunchOrWindThatIsOff) {
  const auto check = [](const SyntheticScene& scene, const std::string& code, const std::string& key, double change) {
    const FlightValidation validation = Validated(Simulate(scene));
    EXPECT_TRUE(Says(validation, code)) << code;
    ASSERT_FALSE(validation.mends.empty()) << code;
    EXPECT_EQ(validation.mends.front().key, key) << code;
    EXPECT_LE(validation.mends.front().change.low_95, change) << code;
    EXPECT_GE(validation.mends.front().change.high_95, change) << code;
  };
  SyntheticScene scene = Scene();
  scene.speed_m_s += 1.0;
  check(scene, "launch-too-fast", "launch_speed", -1.0);
  scene.speed_m_s -= 2.0;
  check(scene, "launch-too-slow", "launch_speed", 1.0);
  scene = Scene();
  scene.angle_deg += 2.0;
  check(scene, "launch-too-steep", "launch_angle", -2.0);
  scene.angle_deg -= 4.0;
  check(scene, "launch-too-flat", "launch_angle", 2.0);
  scene = Scene();
  scene.wind_along_m_s += 3.0;
  check(scene, "wind-differs", "wind", -3.0);
}

TEST(ValidateFlight, NamesNothingWhereSeveralThingsAreOff) {
  SyntheticScene scene = Scene();
  scene.angle_deg += 5.0;
  scene.speed_m_s += 2.0;
  const FlightValidation validation = Validated(Simulate(scene));
  EXPECT_TRUE(Says(validation, "no-single-mend"));
}

// A drag that doubles in flight bends the path as no steady one does.
TEST(ValidateFlight, SeesAShapeThatNothingMends) {
  SyntheticScene scene = Scene();
  scene.drag_change_s = 1.2;
  scene.drag_change_factor = 4.0;
  const FlightValidation validation = Validated(Simulate(scene));
  EXPECT_EQ(validation.agreement, Agreement::kDisagrees);
  EXPECT_TRUE(Says(validation, "simulator-shape"));
}

// A table that has no drag has no factor by which it could be mended, but a drag that it should have.
TEST(ValidateFlight, TellsASimulatorWithoutDragWhatDragToHave) {
  SyntheticScene scene = Scene();
  scene.drag_per_m = 0.0;
  const FlightValidation validation = Validated(Simulate(scene));
  ASSERT_FALSE(validation.mends.empty());
  EXPECT_EQ(validation.mends.front().key, "drag");
  EXPECT_NEAR(validation.mends.front().becomes.value, Scene().drag_per_m, 0.05 * Scene().drag_per_m);
  for (const Mend& mend : validation.mends) {
    EXPECT_TRUE(mend.key != "wind" || std::abs(mend.becomes.value) < 30.0);
  }
}

// Slow simulators without drag: no drag mends them, and what runs off to nowhere is not told.
TEST(ValidateFlight, TellsNoMendThatRanOff) {
  SyntheticScene scene = Scene();
  for (const double speed_m_s : {8.0, 10.0, 12.0, 14.0, 16.0}) {
    for (const double drag_per_m : {0.0, 0.02, 0.2}) {
      scene.speed_m_s = speed_m_s;
      scene.drag_per_m = drag_per_m;
      for (const Mend& mend : Validated(Simulate(scene)).mends) {
        EXPECT_TRUE(std::isfinite(mend.change.low_95) && std::isfinite(mend.change.high_95)) << mend.key;
        EXPECT_TRUE(std::isfinite(mend.becomes.low_95) && std::isfinite(mend.becomes.high_95)) << mend.key;
      }
    }
  }
}

// What it does after the footage ends is not judged.
TEST(ValidateFlight, JudgesOnlyWhatWasFilmed) {
  SyntheticScene seen = Scene();
  seen.last_seen_s = 1.9;
  const FlightResult result = Measured(seen);
  SyntheticScene scene = Scene();
  scene.drag_change_s = 2.0;
  scene.drag_change_factor = 6.0;
  const FlightValidation validation = Validated(Simulate(scene), {}, result);
  EXPECT_NE(validation.agreement, Agreement::kDisagrees) << validation.sentence;
}

TEST(ValidateFlight, IsTheSameToTheLeft) {
  SyntheticScene left = Scene();
  left.to_the_left = true;
  left.camera_x_m = -left.camera_x_m;
  const FlightResult result = Measured(left);
  EXPECT_EQ(Validated(Simulate(left), {}, result).agreement, Agreement::kAgrees);
  SyntheticScene other = left;
  other.wind_along_m_s = 3.0;
  const FlightValidation validation = Validated(Simulate(other), {}, result);
  ASSERT_FALSE(validation.mends.empty());
  EXPECT_EQ(validation.mends.front().key, "wind");
  EXPECT_NEAR(validation.mends.front().change.value, -3.0, 1.0);
}

// The simulator's clock and origin are its own affair, but for "none".
TEST(ValidateFlight, AlignsClockAndOrigin) {
  SimulatedFlight moved = Simulate(Scene());
  for (double& time_s : moved.time_s) time_s += 7.5;
  for (double& x_m : moved.x_m) x_m += 100.0;
  for (double& y_m : moved.y_m) y_m += 3.0;
  for (const Align align : {Align::kLaunch, Align::kApogee, Align::kFit}) {
    ValidationOptions options;
    options.align = align;
    const FlightValidation validation = Validated(moved, options);
    EXPECT_EQ(validation.agreement, Agreement::kAgrees) << AlignName(align) << ": " << validation.sentence;
    EXPECT_NEAR(validation.alignment.time_shift_s, -7.5, 0.01) << AlignName(align);
    EXPECT_NEAR(validation.alignment.shift_m.x(), -100.0, 0.1) << AlignName(align);
    EXPECT_NEAR(validation.alignment.shift_m.y(), -3.0, 0.1) << AlignName(align);
    // What was laid upon each other is not tested again.
    const std::size_t tested = align == Align::kLaunch ? 7 : align == Align::kApogee ? 5 : 3;
    EXPECT_EQ(validation.quantities.size(), tested) << AlignName(align);
  }
  ValidationOptions as_it_stands;
  as_it_stands.align = Align::kNone;
  EXPECT_EQ(Validated(Simulate(Scene()), as_it_stands).agreement, Agreement::kAgrees);
  const auto apart = ValidateFlight(Typical(), moved, as_it_stands);
  ASSERT_FALSE(apart);
  EXPECT_EQ(apart.error().code, "no-common-time");
}

// Laying the apogees upon each other hides where they are, not how the paths bend.
TEST(ValidateFlight, FindsWrongDragUnderEveryAlignment) {
  SyntheticScene scene = Scene();
  scene.drag_per_m *= 1.5;
  for (const Align align : {Align::kLaunch, Align::kApogee, Align::kFit, Align::kNone}) {
    ValidationOptions options;
    options.align = align;
    const FlightValidation validation = Validated(Simulate(scene), options);
    EXPECT_EQ(validation.agreement, Agreement::kDisagrees) << AlignName(align);
    const auto drag = std::find_if(
        validation.mends.begin(), validation.mends.end(), [](const Mend& mend) { return mend.key == "drag"; });
    ASSERT_NE(drag, validation.mends.end());
    if (align == Align::kLaunch || align == Align::kNone) {
      EXPECT_NEAR(drag->change.value, 1.0 / 1.5, 0.1);
    }
  }
}

// Started with the measured speed and angle, a simulator shares their errors: what is left to ask is its drag.
TEST(ValidateFlight, AllowsForALaunchThatTheFootageGave) {
  SyntheticScene scene = Scene();
  scene.speed_m_s = Typical().flight.launch_speed_m_s->value;
  scene.angle_deg = Typical().flight.launch_angle_deg->value;
  ValidationOptions options;
  options.launch_as_measured = true;
  const FlightValidation shared = Validated(Simulate(scene), options);
  const FlightValidation own = Validated(Simulate(scene));
  EXPECT_LT(shared.path.dof, own.path.dof);
  EXPECT_FALSE(Find(shared, "launch_speed_m_s"));
  EXPECT_NE(Find(shared, "time_to_apogee_s")->error_std, Find(own, "time_to_apogee_s")->error_std);
  for (const Mend& mend : shared.mends) EXPECT_TRUE(mend.key == "drag" || mend.key == "wind") << mend.key;
  scene.speed_m_s += 1.0;
  EXPECT_TRUE(Says(Validated(Simulate(scene), options), "launch-not-as-measured"));
}

TEST(ValidateFlight, ReadsHeightsAlone) {
  SimulatedFlight heights = Simulate(Scene());
  heights.x_m.clear();
  heights.vx_m_per_s.clear();
  const FlightValidation validation = Validated(heights);
  EXPECT_EQ(validation.agreement, Agreement::kAgrees);
  EXPECT_TRUE(Says(validation, "simulator-heights-only"));
  EXPECT_TRUE(Find(validation, "apogee_m"));
  EXPECT_FALSE(Find(validation, "range_m"));
  EXPECT_FALSE(Find(validation, "launch_speed_m_s"));
  EXPECT_TRUE(std::isnan(validation.path.moments[20].error_m.x()));
  SyntheticScene scene = Scene();
  scene.drag_per_m *= 1.5;
  heights = Simulate(scene);
  heights.x_m.clear();
  heights.vx_m_per_s.clear();
  EXPECT_EQ(Validated(heights).agreement, Agreement::kDisagrees);
}

// A band of its own makes a simulator harder to refute, and past a size nothing can be said.
TEST(ValidateFlight, AllowsForTheSimulatorsOwnUncertainty) {
  SyntheticScene scene = Scene();
  scene.drag_per_m *= 1.3;
  SimulatedFlight flight = Simulate(scene);
  EXPECT_EQ(Validated(flight).agreement, Agreement::kDisagrees);
  flight.x_std_m.assign(flight.time_s.size(), 2.0);
  flight.y_std_m.assign(flight.time_s.size(), 2.0);
  const FlightValidation wide = Validated(flight);
  EXPECT_EQ(wide.agreement, Agreement::kTooUncertain) << wide.sentence;
  EXPECT_GT(Find(wide, "apogee_m")->error_std, 2.0);
  flight.x_std_m.assign(flight.time_s.size(), 0.01);
  flight.y_std_m.assign(flight.time_s.size(), 0.01);
  EXPECT_EQ(Validated(flight).agreement, Agreement::kDisagrees);
}

TEST(ValidateFlight, SaysWhatTheTableMakesDoubtful) {
  SimulatedFlight feet = Simulate(Scene());
  for (auto* values : {&feet.x_m, &feet.y_m, &feet.vx_m_per_s, &feet.vy_m_per_s}) {
    for (double& value : *values) value /= 0.3048;
  }
  EXPECT_TRUE(Says(Validated(feet), "simulator-units"));
  EXPECT_EQ(Validated(feet).findings.front().code, "simulator-units");
  EXPECT_FALSE(Says(Validated(feet), "too-little-drag"));
  SimulatedFlight height_in_feet = Simulate(Scene());
  for (double& y_m : height_in_feet.y_m) y_m /= 0.3048;
  height_in_feet.vy_m_per_s.clear();
  EXPECT_TRUE(Says(Validated(height_in_feet), "simulator-units"));
  SimulatedFlight milliseconds = Simulate(Scene());
  for (double& time_s : milliseconds.time_s) time_s *= 1000.0;
  milliseconds.vx_m_per_s.clear();
  milliseconds.vy_m_per_s.clear();
  EXPECT_TRUE(Says(Validated(milliseconds), "simulator-units"));

  SimulatedFlight early = Simulate(Scene());
  for (auto* values : {&early.time_s, &early.x_m, &early.y_m, &early.vx_m_per_s, &early.vy_m_per_s}) values->resize(60);
  const FlightValidation ends = Validated(early);
  EXPECT_TRUE(Says(ends, "simulator-ends-early"));
  EXPECT_FALSE(Find(ends, "range_m"));
  EXPECT_NEAR(ends.path.last_s, 59 * 0.02, 1e-9);

  SimulatedFlight crossed = Simulate(Scene());
  for (double& vy : crossed.vy_m_per_s) vy *= 3.6;
  EXPECT_TRUE(Says(Validated(crossed), "simulator-columns-disagree"));
}

// In the tube the rocket still gains speed; the launch point is its mouth. What is wrong until the launch is told says
// nothing of drag or launch: no pattern is named.
TEST(ValidateFlight, AsksWhenTheSimulatorLeavesTheTube) {
  SimulatedFlight flight = Simulate(Scene());
  // Two rows of a push of 0.06 s before the mouth, from rest.
  const double push_s = 0.06, vx = flight.vx_m_per_s.front(), vy = flight.vy_m_per_s.front();
  for (double& time_s : flight.time_s) time_s += push_s;
  const auto before = [](std::vector<double>* values, std::vector<double> rows) {
    values->insert(values->begin(), rows.begin(), rows.end());
  };
  before(&flight.time_s, {0.0, 0.03});
  before(&flight.x_m, {-0.5 * vx * push_s, -0.375 * vx * push_s});
  before(&flight.y_m, {-0.5 * vy * push_s, -0.375 * vy * push_s});
  before(&flight.vx_m_per_s, {0.0, 0.5 * vx});
  before(&flight.vy_m_per_s, {0.0, 0.5 * vy});
  const FlightValidation unclear = Validated(flight);
  ASSERT_EQ(unclear.findings.size(), 1U);
  EXPECT_EQ(unclear.findings.front().code, "simulator-launch-unclear");
  ValidationOptions options;
  options.simulator_launch_s = push_s;
  const FlightValidation told = Validated(flight, options);
  EXPECT_FALSE(Says(told, "simulator-launch-unclear"));
  EXPECT_EQ(told.agreement, Agreement::kAgrees) << told.sentence;
}

TEST(ValidateFlight, RefusesWhatCannotBeCompared) {
  FlightResult refused;
  refused.verdict = Verdict::kRefused;
  EXPECT_EQ(ValidateFlight(refused, Simulate(Scene())).error().code, "nothing-measured");
  SimulatedFlight rising = Simulate(Scene());
  for (auto* values : {&rising.time_s, &rising.x_m, &rising.y_m, &rising.vx_m_per_s, &rising.vy_m_per_s}) {
    values->resize(30);
  }
  ValidationOptions options;
  options.align = Align::kApogee;
  EXPECT_EQ(ValidateFlight(Typical(), rising, options).error().code, "simulator-without-apogee");
  for (const Align align : {Align::kApogee, Align::kFit}) {
    options = {};
    options.align = align;
    options.launch_as_measured = true;
    EXPECT_EQ(ValidateFlight(Typical(), Simulate(Scene()), options).error().code, "launch-and-alignment");
  }

  SimulatedFlight still = Simulate(Scene());
  for (auto* values : {&still.x_m, &still.y_m, &still.vx_m_per_s, &still.vy_m_per_s}) {
    std::fill(values->begin(), values->end(), 0.0);
  }
  EXPECT_EQ(ValidateFlight(Typical(), still).error().code, "simulator-never-flies");
  for (const double launch_s : {-1.0, 5.0}) {
    options = {};
    options.simulator_launch_s = launch_s;
    EXPECT_EQ(ValidateFlight(Typical(), Simulate(Scene()), options).error().code, "launch-outside-table");
  }
}

}  // namespace
}  // namespace loftline
