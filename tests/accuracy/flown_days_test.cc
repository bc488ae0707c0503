// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/flown_days.h"

#include "tests/accuracy/surveyed_track.h"

#include <algorithm>

#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

FlownDayKind KindNamed(const std::string& name) {
  for (const FlownDayKind& kind : FlownDayKinds()) {
    if (kind.name == name) return kind;
  }
  throw std::runtime_error("no kind " + name);
}

// Two launches on one survey: what was surveyed, mistakes and all, is the same; what flew is not.
TEST(FlownDays, ShareTheirSurveysMistakes) {
  render::Scene scene;
  const SurveyedTrack one = MakeSurveyedTrack(scene, 81101, {}, 5);
  scene.flight.speed_m_s += 2;
  const SurveyedTrack other = MakeSurveyedTrack(scene, 81102, {}, 5),
                      elsewhere = MakeSurveyedTrack(scene, 81102, {}, 6);
  EXPECT_EQ(one.survey.launch.px->x(), other.survey.launch.px->x());
  EXPECT_EQ(*one.survey.camera.tilt_deg, *other.survey.camera.tilt_deg);
  EXPECT_EQ(one.scene.k1, other.scene.k1);
  EXPECT_EQ(one.survey.air.wind_along_m_s, other.survey.air.wind_along_m_s);
  EXPECT_NE(one.scene.wind_along_m_s, other.scene.wind_along_m_s);
  EXPECT_NE(one.scene.azimuth_deg, other.scene.azimuth_deg);
  EXPECT_NE(*one.survey.camera.tilt_deg, *elsewhere.survey.camera.tilt_deg);
}

TEST(FlownDays, AreShuffledAndPushUnequally) {
  const FlownDay day = MakeFlownDay(KindNamed("2x5 < one survey"), 81103);
  ASSERT_EQ(day.summary.flights.size(), 10U);
  double speed_a = 0, speed_b = 0;
  std::string order;
  for (const FlightRecord& flight : day.summary.flights) {
    order += flight.row.design;
    if (!flight.outcome.flight.launch_speed_m_s) continue;
    (flight.row.design == "A" ? speed_a : speed_b) += flight.outcome.flight.launch_speed_m_s->value / 5;
  }
  EXPECT_EQ(std::ranges::count(order, 'A'), 5);
  EXPECT_NE(order, "AAAAABBBBB");
  EXPECT_GT(speed_a, speed_b);
  EXPECT_LT(day.drag_coefficients[1], day.drag_coefficients[0]);
}

// Eight days, the whole way from the track on. Were intervals right on 93 % of the days, fewer than 5 would come up
// once in 750 times; were equal designs called different on 6 % of the days, more than 3 once in 1300.
TEST(FlownDays, AreComparedTruly) {
  const std::vector<JudgedDay> judged = CompareFlownDays({KindNamed("2x5 = one survey")}, 81110, 8);
  for (const char* quantity : {"range", "apogee", "Cd"}) {
    std::vector<JudgedDay> days = judged;
    std::erase_if(days, [&](const JudgedDay& day) { return !day.kind.ends_with(quantity); });
    const DayFigures figures = FiguresOf(days);
    EXPECT_EQ(figures.compared, 8) << quantity;
    EXPECT_GE(figures.covered, 5) << quantity;
    EXPECT_LE(figures.false_days, 3) << quantity;
  }
}

// The better rocket got the weaker pushes, and yet the comparison at the same push never ranks them wrongly.
TEST(FlownDays, RankDesignsByTheRocketAndNotByThePush) {
  const std::vector<JudgedDay> judged = CompareFlownDays({KindNamed("2x5 < one survey")}, 81120, 8);
  const DayFigures figures = FiguresOf(judged);
  EXPECT_EQ(figures.wrong_sign, 0);
  EXPECT_GE(figures.found, 12);  // of 24: three quantities on eight days
}

}  // namespace
}  // namespace loftline::accuracy
