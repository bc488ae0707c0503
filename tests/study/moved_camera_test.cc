// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/moved_camera.h"

#include "calibrate/calibrate_camera.h"
#include "tests/study/planned_surveys.h"

#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

using test::CarefulSurvey;

// What is marked from the new place must calibrate to the camera that stands there.
TEST(SurveyFrom, CalibratesToTheMovedCamera) {
  const Survey survey = CarefulSurvey();
  const Expected<Calibration> here = CalibrateCamera(survey);
  ASSERT_TRUE(here);
  const CameraStand stand{7.0, 31.0, 4.0, 6.0};
  const Camera moved = MovedTo(here->camera, stand);
  const Expected<Calibration> there = CalibrateCamera(SurveyFrom(survey, here->camera, moved));
  ASSERT_TRUE(there) << Describe(there.error());
  const CameraStand found = StandOf(there->camera);
  EXPECT_NEAR(found.across_m, stand.across_m, 0.02);
  EXPECT_NEAR(found.distance_m, stand.distance_m, 0.02);
  EXPECT_NEAR(found.yaw_deg, stand.yaw_deg, 0.05);
  EXPECT_NEAR(found.tilt_deg, stand.tilt_deg, 0.05);
}

TEST(SurveyFrom, StayingChangesNothing) {
  Survey survey = CarefulSurvey();
  survey.marks.emplace_back(LineMark{{600.0, 300.0}, {602.0, 700.0}, Lies::kPlumb, {}});
  const Expected<Calibration> here = CalibrateCamera(survey);
  ASSERT_TRUE(here);
  const Survey again = SurveyFrom(survey, here->camera, MovedTo(here->camera, StandOf(here->camera)));
  const std::vector<Eigen::Vector2d> before = MarkedPlacesPx(survey), after = MarkedPlacesPx(again);
  ASSERT_EQ(before.size(), 5U);
  ASSERT_EQ(after.size(), before.size());
  for (std::size_t i = 0; i < before.size(); ++i) EXPECT_LT((after[i] - before[i]).norm(), 1e-6);
}

// A mark in front of the flight plane moves against it when the camera steps aside.
TEST(SurveyFrom, SeesDepthFromTheSide) {
  Survey survey = CarefulSurvey();
  std::get<BaselineMark>(survey.marks[0]).depth_offset_m = 1.0;
  Survey flat = survey;
  std::get<BaselineMark>(flat.marks[0]).depth_offset_m = 0.0;
  const Camera camera = CalibrateCamera(CarefulSurvey())->camera;
  CameraStand aside = StandOf(camera);
  aside.across_m += 2.0;
  const Camera moved = MovedTo(camera, aside);
  const double near_px = MarkedPlacesPx(SurveyFrom(survey, camera, moved))[0].x();
  const double far_px = MarkedPlacesPx(SurveyFrom(flat, camera, moved))[0].x();
  // 2 m sideways are 2/19 of a focal length at 19 m and 2/20 at 20 m.
  const double expected_px = camera.parameters[kFocalPx] * (2.0 / 20.0 - 2.0 / 19.0);
  EXPECT_NEAR(near_px - far_px, expected_px, 0.1 * std::abs(expected_px));
}

// A phone held the other way sees the same with the same lens.
TEST(SurveyFrom, TurnedPhonesCalibrateToTheSameLens) {
  const Survey survey = CarefulSurvey(40.0, 6.0, 5.0);
  const Expected<Calibration> here = CalibrateCamera(survey);
  ASSERT_TRUE(here);
  CameraStand stand = StandOf(here->camera);
  stand.turned = true;
  const Camera moved = MovedTo(here->camera, stand);
  const Survey turned = SurveyFrom(survey, here->camera, moved);
  EXPECT_EQ(turned.width_px, 1080);
  EXPECT_EQ(turned.height_px, 1920);
  EXPECT_NEAR(std::tan(RadFromDeg(*turned.camera.horizontal_view_deg / 2)),
              std::tan(RadFromDeg(*survey.camera.horizontal_view_deg / 2)) * 1080.0 / 1920.0,
              1e-3);
  const Expected<Calibration> there = CalibrateCamera(turned);
  ASSERT_TRUE(there) << Describe(there.error());
  EXPECT_NEAR(there->camera.parameters[kFocalPx], here->camera.parameters[kFocalPx], 1.0);
  EXPECT_NEAR(StandOf(there->camera).distance_m, 40.0, 0.05);
}

TEST(SurveyFrom, SaysOnlyWhatWasSaid) {
  Survey survey = CarefulSurvey();
  survey.camera.tilt_deg.reset();
  survey.camera.distance_m.reset();
  const Camera camera = CalibrateCamera(CarefulSurvey())->camera;
  const Survey moved = SurveyFrom(survey, camera, MovedTo(camera, {10.0, 30.0, 2.0, 8.0}));
  EXPECT_FALSE(moved.camera.tilt_deg);
  EXPECT_FALSE(moved.camera.distance_m);
  EXPECT_EQ(moved.camera.yaw_deg, 2.0);
  EXPECT_EQ(moved.camera.yaw_std_deg, survey.camera.yaw_std_deg);
}

}  // namespace
}  // namespace loftline
