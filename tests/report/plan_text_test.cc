// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/plan_text.h"

#include "core/wrap_text.h"
#include "report/plan_picture.h"
#include "study/plan_flight.h"
#include "tests/study/planned_surveys.h"

#include <algorithm>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

FlightPlan SomePlan(double distance_m = 20.0, Direction direction = Direction::kRight) {
  PlanRequest request;
  request.speed_m_s = 20.0;
  request.angle_deg = 62.0;
  request.mass_kg = Measured{0.008, 0.0001};
  request.diameter_m = Measured{0.022, 0.0002};
  request.direction = direction;
  request.draws = 1;
  Expected<FlightPlan> plan = PlanFlight(request, test::CarefulSurvey(distance_m, 12.0, 5.5));
  EXPECT_TRUE(plan) << Describe(plan.error());
  return plan ? *std::move(plan) : FlightPlan{};
}

TEST(PlanText, SaysAllThatIsToBeKnownWithin80Columns) {
  const std::string text = PlanText(SomePlan());
  for (const char* part : {"Plan from meadow.survey.json: 20 m/s at 62°",
                           "frames in view",
                           "motion per frame",
                           "rocket's length",
                           "Launch speed",
                           "Drag coefficient",
                           "Where to stand",
                           "exposure 1/1000 s",
                           "eye protection",
                           "Nobody ever leans or looks over the tube."}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
  EXPECT_THAT(text, Not(HasSubstr("refusal")));
  std::istringstream lines(text + PlanBudgetText(SomePlan()));
  for (std::string line; std::getline(lines, line);) EXPECT_LE(Width(line), kTerminalColumns) << line;
}

TEST(PlanText, SaysWhyNothingCanBeMeasured) {
  FlightPlan plan = SomePlan();
  plan.expected.reset();
  plan.refusal = Error{ErrorKind::kRefused, "flight-out-of-view", "No part of it is seen.", "Step back."};
  const std::string text = PlanText(plan);
  EXPECT_THAT(text, HasSubstr("refusal: No part of it is seen."));
  EXPECT_THAT(text, Not(HasSubstr("value ± 95 %")));
  EXPECT_EQ(PlanBudgetText(plan), "");
}

TEST(DrawPlan, HasADotForEveryFrameInView) {
  for (const double distance_m : {20.0, 11.0}) {
    const FlightPlan plan = SomePlan(distance_m);
    const ShownRegion region = PlanRegion(plan);
    const FlightDrawing drawing = DrawPlan(plan, region, 16.0);
    const auto dots = std::count_if(drawing.marks.begin(), drawing.marks.end(), [](const FlightDrawing::Placed& mark) {
      return mark.mark == FlightDrawing::Mark::kSeenPoint;
    });
    EXPECT_EQ(dots, plan.view.frames_in_view);
    const bool dashed =
        std::any_of(drawing.strokes.begin(), drawing.strokes.end(), [](const FlightDrawing::Stroke& stroke) {
          return stroke.line == FlightDrawing::Line::kCalculated;
        });
    EXPECT_EQ(dashed, plan.view.frames_in_view < plan.view.frames);
    for (const FlightDrawing::Placed& mark : drawing.marks) {
      EXPECT_GE(mark.at.minCoeff(), 0.0);
      EXPECT_LE(mark.at.x(), region.shown_width());
      EXPECT_LE(mark.at.y(), region.shown_height());
    }
  }
}

// The flight to the left leaves the picture soon: what lies beside it is shown, but not without end.
TEST(PlanRegion, ShowsWhatLiesBesideThePictureButNotWithoutEnd) {
  const FlightPlan inside = SomePlan(22.0), beside = SomePlan(20.0, Direction::kLeft);
  EXPECT_LT(PlanRegion(beside).left_px, -200);
  EXPECT_GE(PlanRegion(beside).width_px * PlanRegion(beside).scale, 1000.0);
  EXPECT_LE(PlanRegion(beside).width_px, 1920 * 1.6 + 200);
  EXPECT_GT(PlanRegion(inside).left_px, -100);
}

TEST(PlanPng, IsAPng) {
  const Expected<std::string> png = PlanPng(SomePlan());
  ASSERT_TRUE(png) << Describe(png.error());
  EXPECT_EQ(png->substr(1, 3), "PNG");
  EXPECT_GT(png->size(), 5000U);
}

}  // namespace
}  // namespace loftline
