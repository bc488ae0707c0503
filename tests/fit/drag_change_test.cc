// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A drag that changes in flight, on tracks by GSL and cv::projectPoints (tests/support/synthetic_flight.h).
#include "fit/drag_change.h"

#include "fit/fit_flight.h"
#include "tests/support/synthetic_flight.h"

#include <algorithm>

#include <gtest/gtest.h>

namespace loftline {
namespace {

bool Has(const FlightResult& result, const std::string& code) {
  return std::any_of(
      result.findings.begin(), result.findings.end(), [&](const Finding& finding) { return finding.code == code; });
}

SyntheticScene SceneOf(int number) {
  SyntheticScene scene;
  scene.seed = SeedFrom("drag change") + static_cast<std::uint64_t>(number);
  scene.speed_m_s = 19.0 + 0.5 * number;
  scene.drag_per_m = 0.015 + 0.002 * number;
  return scene;
}

TEST(DragChange, DoublingIsFoundAndTold) {
  constexpr int kFlights = 8;
  int found = 0, factor_inside = 0, speed_inside = 0;
  for (int i = 0; i < kFlights; ++i) {
    SyntheticScene scene = SceneOf(i);
    scene.drag_change_s = 1.0 + 0.05 * i;
    scene.drag_change_factor = 2.0;
    const SyntheticFlight flight = Synthesize(scene);
    const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
    ASSERT_TRUE(result) << Describe(result.error());
    EXPECT_NE(result->verdict, Verdict::kAccepted) << i;
    if (!result->drag_change) continue;
    ++found;
    EXPECT_TRUE(Has(*result, "drag-changes"));
    EXPECT_NEAR(result->drag_change->time_s, scene.drag_change_s, 0.35) << i;
    const Estimate& factor = result->drag_change->factor;
    factor_inside += factor.low_95 < 2.0 && 2.0 < factor.high_95 ? 1 : 0;
    const Estimate& speed = *result->flight.launch_speed_m_s;
    speed_inside += speed.low_95 < scene.speed_m_s && scene.speed_m_s < speed.high_95 ? 1 : 0;
  }
  EXPECT_GE(found, kFlights - 1);
  // The moment is the nearest of nine, and the rest of the misfit goes into the factor: not quite 95 %.
  EXPECT_GE(factor_inside, found - 3);
  EXPECT_GE(speed_inside, found - 2);
}

// Without the search for a change the misfit must still be told: large, and on one side for long stretches.
TEST(DragChange, UnsearchedItBendsTheResiduals) {
  SyntheticScene scene = SceneOf(3);
  const SyntheticFlight steady = Synthesize(scene);
  scene.drag_change_s = 1.2;
  scene.drag_change_factor = 3.0;
  const SyntheticFlight changed = Synthesize(scene);
  FitOptions options;
  options.drag_change = false;
  const Expected<FlightResult> bent = FitFlight(changed.track, changed.survey, options);
  const Expected<FlightResult> straight = FitFlight(steady.track, steady.survey, options);
  ASSERT_TRUE(bent);
  ASSERT_TRUE(straight);
  EXPECT_LT(bent->runs_along.p_too_few, 1e-6);
  EXPECT_GT(straight->runs_along.p_too_few, 1e-3);
  EXPECT_GT(straight->runs_across.p_too_few, 1e-3);
  const auto large = std::find_if(bent->findings.begin(), bent->findings.end(), [](const Finding& finding) {
    return finding.code == "residuals-large";
  });
  ASSERT_NE(large, bent->findings.end());
  EXPECT_NE(large->message.find("on one side of it for long stretches"), std::string::npos);
}

TEST(DragChange, ASteadyDragIsLeftInPeace) {
  for (int i = 0; i < 12; ++i) {
    const SyntheticFlight flight = Synthesize(SceneOf(i));
    const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
    ASSERT_TRUE(result);
    EXPECT_FALSE(result->drag_change) << i;
    EXPECT_EQ(result->verdict, Verdict::kAccepted) << i;
  }
}

// A baseline that is too long bends the flight much as a changing drag does; gravity's metres explain it better.
TEST(DragChange, IsNotTakenForAWrongBaseline) {
  for (int i = 0; i < 6; ++i) {
    SyntheticFlight flight = Synthesize(SceneOf(i));
    auto& baseline = std::get<BaselineMark>(flight.survey.marks[0]);
    baseline.length_m *= i % 2 == 0 ? 1.15 : 0.87;
    const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
    ASSERT_TRUE(result);
    EXPECT_TRUE(Has(*result, "rulers-disagree")) << i;
    EXPECT_FALSE(result->drag_change) << i;
  }
}

// The score test against what it approximates: the change that the full fit finds, in units of its uncertainty.
TEST(DragChange, ScoreTestIsUnbiasedForSteadyFlights) {
  double squares = 0.0;
  int tests = 0;
  for (int i = 0; i < 12; ++i) {
    const SyntheticFlight flight = Synthesize(SceneOf(i));
    const FitOptions options;
    const Expected<FitInputs> inputs = PrepareFit(flight.track, flight.survey, options);
    ASSERT_TRUE(inputs);
    const Attempt attempt = SolveFromTracks(*inputs, 1.0, options, {.drag_changes_s = {1.0}}, {});
    ASSERT_EQ(attempt.solution.drag_change_tests.size(), 1U);
    const Measured& change = attempt.solution.drag_change_tests[0].log_change;
    EXPECT_LT(change.std, 0.5);
    squares += std::pow(change.value / change.std, 2);
    ++tests;
  }
  // White noise alone is in these tracks, while the fit allows for slow errors too: below one, and above nothing.
  EXPECT_LT(squares / tests, 1.5);
  EXPECT_GT(squares / tests, 0.01);
}

}  // namespace
}  // namespace loftline
