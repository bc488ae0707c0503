// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Gravity as a ruler and as a clock, on tracks whose lengths or seconds are wrong (tests/support/synthetic_flight.h:
// GSL and cv::projectPoints).
#include "fit/second_ruler.h"

#include "fit/fit_flight.h"
#include "tests/support/synthetic_flight.h"

#include <algorithm>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;

SyntheticScene Scene(const char* name) {
  SyntheticScene scene;
  scene.seed = SeedFrom(name);
  return scene;
}

const Finding* FindingOf(const FlightResult& result, const std::string& code) {
  const auto found = std::find_if(
      result.findings.begin(), result.findings.end(), [&](const Finding& finding) { return finding.code == code; });
  return found == result.findings.end() ? nullptr : &*found;
}

BaselineMark& Baseline(SyntheticFlight* flight) {
  return std::get<BaselineMark>(flight->survey.marks[0]);
}

TEST(SecondRuler, AgreesWithARightBaselineAndGivesAScaleOfItsOwn) {
  const SyntheticFlight flight = Synthesize(Scene("right"));
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_TRUE(result);
  ASSERT_TRUE(result->gravity_ruler);
  const GravityRuler& ruler = *result->gravity_ruler;
  EXPECT_NEAR(ruler.length_ratio.value, 1.0, 3.0 * ruler.length_ratio.std);
  EXPECT_LT(ruler.length_ratio.std, 0.03);
  EXPECT_NEAR(
      ruler.scale_m_per_px_at_launch.value / result->scale_m_per_px_at_launch.value, ruler.length_ratio.value, 0.01);
  EXPECT_EQ(FindingOf(*result, "rulers-disagree"), nullptr);
}

TEST(SecondRuler, SaysWhatLengthWouldAgree) {
  SyntheticFlight flight = Synthesize(Scene("length"));
  Baseline(&flight).length_m = 11.5;
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_TRUE(result);
  EXPECT_EQ(result->verdict, Verdict::kCaution);
  const Finding* finding = FindingOf(*result, "rulers-disagree");
  ASSERT_NE(finding, nullptr);
  const double needed_m = 11.5 * result->gravity_ruler->length_ratio.value;
  EXPECT_NEAR(needed_m, 10.0, 0.4);
  // Causes in order: length, depth, seconds, drag.
  const std::size_t length = finding->advice.find("baseline's length"), depth = finding->advice.find("where it lay"),
                    seconds = finding->advice.find("seconds"), drag = finding->advice.find("drag");
  EXPECT_LT(length, depth);
  EXPECT_LT(depth, seconds);
  EXPECT_LT(seconds, drag);
  EXPECT_NE(drag, std::string::npos);
  EXPECT_EQ(FindingOf(*result, "prior-pulled"), nullptr) << "one cause, one finding";
}

TEST(SecondRuler, SaysWhereTheBaselineWouldHaveToLie) {
  SyntheticScene scene = Scene("depth");
  scene.baseline_depth_m = 2.0;
  const SyntheticFlight flight = Synthesize(scene);
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_TRUE(result);
  const Finding* finding = FindingOf(*result, "rulers-disagree");
  ASSERT_NE(finding, nullptr);
  double depth_m = 0.0;
  const std::size_t at = finding->advice.find("where it lay: ");
  ASSERT_NE(at, std::string::npos);
  ASSERT_EQ(std::sscanf(finding->advice.c_str() + at, "where it lay: %lf m nearer", &depth_m), 1) << finding->advice;
  EXPECT_NEAR(depth_m, 2.0, 0.6);
}

TEST(SecondRuler, KnowsFeetFromMetres) {
  SyntheticFlight flight = Synthesize(Scene("feet"));
  Baseline(&flight).length_m /= 0.3048;
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "rulers-disagree");
  EXPECT_THAT(result.error().advice, HasSubstr("feet given as metres"));
}

TEST(SecondRuler, RefusesLengthsThatNoFlightFits) {
  for (const double times : {3.0, 6.0, 10.0, 0.1}) {  // a mark set in the wrong place
    SyntheticFlight flight = Synthesize(Scene("slip"));
    Baseline(&flight).length_m *= times;
    const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
    ASSERT_FALSE(result) << times << " " << result->flight.launch_speed_m_s->value;
    EXPECT_EQ(result.error().kind, ErrorKind::kRefused);
    EXPECT_THAT(result.error().code, testing::AnyOf("rulers-disagree", "time-base-suspect")) << times;
  }
}

// A flight can be fitted, after a fashion: at four times the speed, through a drag that no rocket has. Whatever was
// thrown.
TEST(SecondRuler, RefusesLengthsThatGravitySurelyContradicts) {
  for (int round = 0; round < 6; ++round) {
    SyntheticScene scene = Scene("apart");
    scene.seed += static_cast<std::uint64_t>(round);
    scene.speed_m_s = 14.0 + 3.0 * round;
    scene.angle_deg = 45.0 + 6.0 * round;
    for (const double times : {1.5, 2.0, 0.6}) {
      SyntheticFlight flight = Synthesize(scene);
      Baseline(&flight).length_m *= times;
      const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
      ASSERT_FALSE(result) << times << " " << result->flight.launch_speed_m_s->value;
      EXPECT_EQ(result.error().kind, ErrorKind::kRefused);
      EXPECT_THAT(result.error().code, testing::AnyOf("rulers-disagree", "time-base-suspect")) << times;
    }
  }
}

class SlowMotion : public testing::TestWithParam<int> {};

TEST_P(SlowMotion, ThatNobodyStatedIsNamed) {
  const int factor = GetParam();
  for (int round = 0; round < 3; ++round) {
    SyntheticScene scene = Scene("slow");
    scene.seed += static_cast<std::uint64_t>(10 * factor + round);
    scene.rate_hz = 240;
    scene.readout_s = 0.0035;
    scene.slow_motion = factor;
    SyntheticFlight flight = Synthesize(scene);
    flight.survey.timing.capture_rate_hz.reset();
    const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
    ASSERT_FALSE(result);
    EXPECT_EQ(result.error().code, "time-base-suspect");
    EXPECT_EQ(result.error().kind, ErrorKind::kRefused);
    EXPECT_THAT(result.error().advice, HasSubstr("--capture-rate \"240 Hz\""));
  }
}

INSTANTIATE_TEST_SUITE_P(Factors, SlowMotion, testing::Values(2, 3, 4, 8, 10, 16));

TEST(SecondRuler, NoticesACaptureRateThatIsNotTheClips) {
  SyntheticFlight flight = Synthesize(Scene("fast"));
  flight.survey.timing.capture_rate_hz = 240.0;
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "time-base-suspect");
  EXPECT_THAT(result.error().advice, HasSubstr("Leave the capture rate out"));
}

TEST(GravityOnly, MeasuresAFlightWithItsApogee) {
  SyntheticFlight flight = Synthesize(Scene("gravity"));
  flight.survey.marks.clear();
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_EQ(result->verdict, Verdict::kCaution);
  EXPECT_TRUE(result->scale_by_gravity);
  EXPECT_FALSE(result->gravity_ruler);
  EXPECT_NE(FindingOf(*result, "gravity-only"), nullptr);
  const SyntheticTruth& truth = flight.truth;
  EXPECT_NEAR(result->flight.launch_speed_m_s->value, truth.launch_speed_m_s, 0.08 * truth.launch_speed_m_s);
  EXPECT_NEAR(result->flight.apogee_m->value, truth.apogee_m, 0.08 * truth.apogee_m);
  EXPECT_LT(result->flight.launch_speed_m_s->low_95, truth.launch_speed_m_s);
  EXPECT_GT(result->flight.launch_speed_m_s->high_95, truth.launch_speed_m_s);
}

TEST(GravityOnly, RefusesAnArcWithoutItsApogee) {
  SyntheticScene scene = Scene("rising");
  scene.last_seen_s = 0.6;
  SyntheticFlight flight = Synthesize(scene);
  flight.survey.marks.clear();
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "no-scale");
}

}  // namespace
}  // namespace loftline
