// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/plan_flight.h"

#include "calibrate/calibrate_camera.h"
#include "study/stand_advice.h"
#include "tests/accuracy/noisy_tracks.h"
#include "tests/accuracy/typical_scene.h"
#include "tests/study/planned_surveys.h"

#include <algorithm>
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using test::CarefulSurvey;
using testing::HasSubstr;

PlanRequest Launch(double speed_m_s = 20.0, double angle_deg = 62.0) {
  PlanRequest request;
  request.speed_m_s = speed_m_s;
  request.angle_deg = angle_deg;
  request.mass_kg = Measured{0.008, 0.0001};
  request.diameter_m = Measured{0.022, 0.0002};
  request.draws = 3;
  return request;
}

FlightPlan Planned(const PlanRequest& request, const Survey& survey) {
  Expected<FlightPlan> plan = PlanFlight(request, survey);
  EXPECT_TRUE(plan) << Describe(plan.error());
  return plan ? *std::move(plan) : FlightPlan{};
}

double Half(const FlightPlan& plan, const char* key) {
  return plan.expected->quantities.at(key).half_95;
}

// Of the drag's variance.
double PathShare(const FlightPlan& plan) {
  for (const BudgetLine& line : plan.expected->quantities.at("drag_per_m").budget) {
    if (line.source == "path noise") return line.share;
  }
  return 0.0;
}

// What is planned from a survey against what the fit makes of a track that was made up without any of our flight or
// camera code (GSL's integrator, OpenCV's projection), whose survey has errors. The noise of the points is told; all
// else is the plan's own. 1.15: how much an interval varies with the noise that was drawn (some 5 % for 180 points).
TEST(PlanFlight, ForeseesWhatTheFitWillSay) {
  for (const std::uint64_t seed : {81021U, 81022U, 81023U}) {
    const accuracy::SurveyedTrack made = accuracy::TypicalTrack(seed, accuracy::Care::kByTape);
    FitOptions options;
    options.mass_kg = made.mass_kg;
    options.diameter_m = made.diameter_m;
    const Expected<FlightResult> fitted = FitFlight(made.track, made.survey, options);
    ASSERT_TRUE(fitted) << Describe(fitted.error());
    PlanRequest request = Launch(made.truths.at("launch_speed_m_s"), made.truths.at("launch_angle_deg"));
    request.drag_per_m = made.truths.at("drag_per_m");
    request.mass_kg = made.mass_kg;
    request.diameter_m = made.diameter_m;
    request.rate_hz = made.scene.rate_hz;
    request.exposure_s = 1e-4;
    request.noise = {made.scene.noise_px, made.scene.noise_px, 0.0};
    const FlightPlan plan = Planned(request, made.survey);
    ASSERT_TRUE(plan.expected);
    EXPECT_NEAR(plan.view.frames_in_view, fitted->seen_points, 3);
    for (const char* key : {"launch_speed_m_s", "launch_angle_deg", "drag_per_m", "drag_coefficient", "apogee_m"}) {
      const auto member = std::find_if(std::begin(kQuantities), std::end(kQuantities), [&](const QuantityKey& each) {
        return each.key == std::string(key);
      });
      const Estimate& estimate = *(fitted->flight.*member->member);
      const double ratio = Half(plan, key) / (0.5 * (estimate.high_95 - estimate.low_95));
      EXPECT_GT(ratio, 1.0 / 1.15) << key << " seed " << seed;
      EXPECT_LT(ratio, 1.15) << key << " seed " << seed;
    }
  }
}

TEST(PlanFlight, SharesOfABudgetAddUpToOne) {
  const FlightPlan plan = Planned(Launch(), CarefulSurvey());
  ASSERT_TRUE(plan.expected);
  for (const auto& [key, quantity] : plan.expected->quantities) {
    double sum = 0.0, largest = 1.0;
    for (const BudgetLine& line : quantity.budget) {
      sum += line.share;
      EXPECT_LE(line.share, largest) << key;
      largest = line.share;
      EXPECT_FALSE(line.advice.empty()) << line.source;
    }
    EXPECT_NEAR(sum, 1.0, 1e-9) << key;
  }
}

TEST(PlanFlight, IsTheSameEveryTime) {
  const FlightPlan one = Planned(Launch(), CarefulSurvey()), other = Planned(Launch(), CarefulSurvey());
  EXPECT_EQ(Half(one, "drag_per_m"), Half(other, "drag_per_m"));
  EXPECT_EQ(StandAdvice(one), StandAdvice(other));
}

TEST(PlanFlight, WorseTapesAndLongerExposuresCost) {
  Survey rough = CarefulSurvey();
  rough.camera.yaw_std_deg = 3.0;
  const FlightPlan careful = Planned(Launch(), CarefulSurvey()), careless = Planned(Launch(), rough);
  EXPECT_GT(Half(careless, "launch_speed_m_s"), 1.3 * Half(careful, "launch_speed_m_s"));
  PlanRequest dusk = Launch();
  dusk.exposure_s = 1.0 / 60.0;
  const FlightPlan blurred = Planned(dusk, CarefulSurvey());
  EXPECT_GT(Half(blurred, "drag_per_m"), Half(careful, "drag_per_m"));
  EXPECT_GT(PathShare(blurred), 1.15 * PathShare(careful));
  EXPECT_EQ(blurred.findings.at(0).code, "shot-blurred");
}

// From too near the flight leaves the picture; the better place sees all of it, and is as good as promised when one
// stands there.
TEST(PlanFlight, FindsABetterPlaceThatKeepsItsPromise) {
  const Survey near = CarefulSurvey(11.0, 14.0, 5.5);
  const FlightPlan plan = Planned(Launch(), near);
  ASSERT_TRUE(plan.expected);
  EXPECT_FALSE(plan.view.landing_in_view && plan.view.apogee_in_view);
  EXPECT_EQ(plan.expected->verdict, Verdict::kCaution);
  ASSERT_TRUE(plan.search.best);
  EXPECT_TRUE(plan.search.clearly_better);
  const StandOutcome& best = *plan.search.best;
  EXPECT_GT(best.stand.distance_m, 13.0);
  EXPECT_TRUE(best.view.apogee_in_view && best.view.landing_in_view);
  EXPECT_EQ(best.view.frames_in_view, best.view.frames);
  EXPECT_THAT(StandAdvice(plan), HasSubstr("Step back from 11.0 m to"));
  EXPECT_THAT(StandAdvice(plan), HasSubstr("becomes"));

  const Survey there = SurveyFrom(near, plan.shot.camera, MovedTo(plan.shot.camera, best.stand));
  const FlightPlan again = Planned(Launch(), there);
  ASSERT_TRUE(again.expected);
  EXPECT_NEAR(
      Half(again, "drag_per_m"), best.expected.quantities.at("drag_per_m").half_95, 0.1 * Half(again, "drag_per_m"));
  EXPECT_FALSE(again.search.clearly_better);
  EXPECT_THAT(StandAdvice(again), HasSubstr("No place is clearly better"));
}

// An upright picture of a wide flight: holding the phone sideways sees all of it from nearer.
TEST(PlanFlight, TellsToHoldThePhoneSideways) {
  const Survey sideways = CarefulSurvey(20.0, 12.0, 5.5);
  const Expected<Calibration> calibration = CalibrateCamera(sideways);
  ASSERT_TRUE(calibration);
  CameraStand upright = StandOf(calibration->camera);
  upright.turned = true;
  upright.across_m = 5.0;
  const Survey survey = SurveyFrom(sideways, calibration->camera, MovedTo(calibration->camera, upright));
  const FlightPlan plan = Planned(Launch(20.0, 50.0), survey);
  EXPECT_EQ(plan.shot.rotation_deg, 90);
  EXPECT_FALSE(plan.view.landing_in_view);
  ASSERT_TRUE(plan.search.best);
  EXPECT_TRUE(plan.search.best->stand.turned);
  EXPECT_EQ(plan.search.best->view.frames_in_view, plan.search.best->view.frames);
  EXPECT_THAT(StandAdvice(plan), HasSubstr("old the phone sideways"));
}

// Launched out of the picture: nothing, or too little, is seen of it.
TEST(PlanFlight, RefusesWhatIsOutOfViewAndSaysWhereToGo) {
  for (const auto& [across_m, code] : {std::pair(6.9, "flight-out-of-view"), std::pair(5.5, "too-few-points")}) {
    PlanRequest request = Launch(20.0, 10.0);
    request.direction = Direction::kLeft;
    const FlightPlan plan = Planned(request, CarefulSurvey(11.0, 0.0, across_m));
    ASSERT_TRUE(plan.refusal) << code;
    EXPECT_FALSE(plan.expected);
    EXPECT_EQ(plan.refusal->kind, ErrorKind::kRefused);
    EXPECT_EQ(plan.refusal->code, code);
    ASSERT_TRUE(plan.search.best);
    EXPECT_TRUE(plan.search.clearly_better);
    EXPECT_THAT(StandAdvice(plan), HasSubstr("that gives drag ±"));
  }
}

TEST(PlanFlight, TakesWhatIsUsualAndSaysSo) {
  PlanRequest request;
  request.speed_m_s = 20.0;
  request.angle_deg = 62.0;
  request.draws = 1;
  const FlightPlan plan = Planned(request, CarefulSurvey());
  EXPECT_EQ(plan.launch.drag_per_m, 0.03);
  EXPECT_FALSE(plan.drag_coefficient);
  EXPECT_EQ(plan.shot.direction, Direction::kRight);
  std::vector<std::string> assumed;
  for (const Assumed& each : plan.assumed) assumed.push_back(each.what);
  for (const char* what : {"drag", "frame rate", "exposure", "length of the rocket", "direction of flight"}) {
    EXPECT_THAT(assumed, testing::Contains(what));
  }
}

TEST(PlanFlight, DragCoefficientNeedsMassAndDiameter) {
  PlanRequest request = Launch();
  request.drag_coefficient = 0.5;
  EXPECT_NEAR(*Planned(request, CarefulSurvey()).drag_coefficient, 0.5, 1e-12);
  // k = rho Cd A / (2 m), by hand for air of 1.2 kg/m3: 1.2 x 0.5 x 3.801e-4 / 0.016 = 0.01426.
  EXPECT_NEAR(Planned(request, CarefulSurvey()).launch.drag_per_m, 0.01426, 0.0003);
  request.mass_kg.reset();
  const Expected<FlightPlan> plan = PlanFlight(request, CarefulSurvey());
  ASSERT_FALSE(plan);
  EXPECT_EQ(plan.error().code, "bad-value");
}

TEST(PlanFlight, NeedsAScale) {
  Survey survey = CarefulSurvey();
  survey.marks.clear();
  survey.camera.distance_m.reset();
  const Expected<FlightPlan> plan = PlanFlight(Launch(), survey);
  ASSERT_FALSE(plan);
  EXPECT_EQ(plan.error().code, "no-scale");
}

TEST(PlanFlight, PassesOnImpossibleLaunches) {
  for (const PlanRequest& request : {Launch(0.0), Launch(20.0, 95.0)}) {
    const Expected<FlightPlan> plan = PlanFlight(request, CarefulSurvey());
    ASSERT_FALSE(plan);
    EXPECT_EQ(plan.error().code, "impossible-launch");
  }
}

TEST(PlanFlight, CanBeStopped) {
  std::stop_source stop;
  stop.request_stop();
  const Expected<FlightPlan> plan = PlanFlight(Launch(), CarefulSurvey(), {stop.get_token(), {}});
  ASSERT_FALSE(plan);
  EXPECT_EQ(plan.error().code, "cancelled");
}

}  // namespace
}  // namespace loftline
