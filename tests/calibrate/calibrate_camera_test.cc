// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/calibrate_camera.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

Camera TrueCamera() {
  Camera camera;
  camera.width_px = 1920;
  camera.height_px = 1080;
  camera.parameters << 1507, 0, 0, 0, 0, 0, 0, 0, 8.0, 1.2, 20.0;
  return camera;
}

Survey WithBaseline(const Camera& camera, double depth_m = 0.0) {
  Survey survey;
  survey.width_px = camera.width_px;
  survey.height_px = camera.height_px;
  BaselineMark mark;
  mark.from_px = camera.PxFromWorld({2, -0.5, depth_m});
  mark.to_px = camera.PxFromWorld({12, -0.5, depth_m});
  mark.length_m = 10.0;
  mark.length_std_m = 0.005;
  mark.lies = Lies::kLevel;
  mark.depth_offset_m = depth_m;
  mark.depth_offset_std_m = 0.05;
  survey.marks.emplace_back(mark);
  survey.launch.px = camera.PxFromPlane({0, 0});
  return survey;
}

Calibration Calibrate(const Survey& survey) {
  const Expected<Calibration> calibration = CalibrateCamera(survey);
  EXPECT_TRUE(calibration) << Describe(calibration.error());
  return calibration ? *calibration : Calibration{};
}

TEST(CalibrateCamera, ScaleComesFromTheBaseline) {
  const Calibration calibration = Calibrate(WithBaseline(TrueCamera()));
  EXPECT_NEAR(calibration.scale_m_per_px_at_launch.value, 20.0 / 1507, 0.02 * 20.0 / 1507);
  EXPECT_LE(std::abs(calibration.scale_m_per_px_at_launch.value - 20.0 / 1507),
            2 * calibration.scale_m_per_px_at_launch.std);
  EXPECT_GT(calibration.scale_m_per_px_at_launch.std, 0.0);
  EXPECT_LT((calibration.launch_px - TrueCamera().PxFromPlane({0, 0})).norm(), 0.5);
}

TEST(CalibrateCamera, ALevelBaselineFixesTheRoll) {
  Camera camera = TrueCamera();
  camera.parameters[kRollRad] = RadFromDeg(4);
  const Calibration calibration = Calibrate(WithBaseline(camera));
  EXPECT_NEAR(calibration.roll_deg.value, 4.0, 0.3);
  EXPECT_NEAR(calibration.roll_deg.std, DegFromRad(0.005), 0.8);
}

TEST(CalibrateCamera, APlumbLineFixesTheRollToo) {
  Camera camera = TrueCamera();
  camera.parameters[kRollRad] = RadFromDeg(-3);
  Survey survey = WithBaseline(camera);
  std::get<BaselineMark>(survey.marks[0]).lies = Lies::kFree;
  survey.marks.emplace_back(LineMark{camera.PxFromPlane({6, -0.5}), camera.PxFromPlane({6, 6}), Lies::kPlumb, {}});
  EXPECT_NEAR(Calibrate(survey).roll_deg.value, -3.0, 0.3);
}

TEST(CalibrateCamera, ABaselineInFrontOfTheFlightIsAllowedFor) {
  const Calibration calibration = Calibrate(WithBaseline(TrueCamera(), 2.0));
  EXPECT_NEAR(calibration.scale_m_per_px_at_launch.value, 20.0 / 1507, 2 * calibration.scale_m_per_px_at_launch.std);
}

TEST(CalibrateCamera, MoreEvidenceNarrows) {
  const Survey plain = WithBaseline(TrueCamera());
  Survey rich = plain;
  rich.camera.tilt_deg = 0.0;
  rich.camera.tilt_std_deg = 0.3;
  rich.camera.distance_m = 20.0;
  rich.camera.distance_std_m = 0.2;
  const Calibration less = Calibrate(plain), more = Calibrate(rich);
  EXPECT_LT(more.tilt_deg.std, less.tilt_deg.std);
  EXPECT_LT(more.horizontal_view_deg.std, 0.5 * less.horizontal_view_deg.std);
  EXPECT_LT(more.assumed.size(), less.assumed.size());
}

TEST(CalibrateCamera, KnownPointsAloneGiveScaleAndOrigin) {
  const Camera camera = TrueCamera();
  Survey survey = WithBaseline(camera);
  survey.marks.clear();
  survey.launch.px.reset();
  for (const Eigen::Vector2d& at_m : {Eigen::Vector2d(0, 0), Eigen::Vector2d(10, 0), Eigen::Vector2d(10, 5)}) {
    survey.marks.emplace_back(PointMark{camera.PxFromPlane(at_m), at_m, {}});
  }
  const Calibration calibration = Calibrate(survey);
  EXPECT_LT((calibration.launch_px - camera.PxFromPlane({0, 0})).norm(), 1.5);
  EXPECT_NEAR(calibration.scale_m_per_px_at_launch.value, 20.0 / 1507, 0.01 * 20.0 / 1507);
}

TEST(CalibrateCamera, DistanceAndViewAngleAloneGiveScale) {
  Survey survey = WithBaseline(TrueCamera());
  survey.marks.clear();
  survey.camera.distance_m = 20.0;
  survey.camera.distance_std_m = 0.1;
  survey.camera.horizontal_view_deg = DegFromRad(HorizontalViewRad(1507, 1920));
  survey.camera.horizontal_view_std_deg = 0.5;
  const Calibration calibration = Calibrate(survey);
  EXPECT_NEAR(calibration.scale_m_per_px_at_launch.value, 20.0 / 1507, 0.02 * 20.0 / 1507);
}

// A measured lens comes back as it was given: marks on one plane hardly say anything of distortion.
TEST(CalibrateCamera, KeepsTheUncertaintyOfAMeasuredLens) {
  Survey survey = WithBaseline(TrueCamera());
  survey.camera.k1 = 0.06;
  survey.camera.k2 = -0.11;
  survey.camera.k1_std = 0.002;
  survey.camera.k2_std = 0.006;
  survey.camera.k1_k2_correlation = -0.93;
  survey.camera.p1 = survey.camera.p2 = 0.0;
  survey.camera.p1_std = 0.0001;
  survey.camera.p2_std = 0.0003;
  const Calibration calibration = Calibrate(survey);
  const CameraMatrix& covariance = calibration.camera.covariance;
  EXPECT_NEAR(std::sqrt(covariance(kK1, kK1)), 0.002, 2e-5);
  EXPECT_NEAR(std::sqrt(covariance(kK2, kK2)), 0.006, 6e-5);
  EXPECT_NEAR(covariance(kK1, kK2) / (0.002 * 0.006), -0.93, 0.01);
  EXPECT_NEAR(std::sqrt(covariance(kP1, kP1)), 0.0001, 1e-6);
  EXPECT_NEAR(std::sqrt(covariance(kP2, kP2)), 0.0003, 3e-6);
}

TEST(CalibrateCamera, SaysWhatItAssumed) {
  const Calibration calibration = Calibrate(WithBaseline(TrueCamera()));
  const auto assumed = [&](const std::string& what) {
    return std::any_of(
        calibration.assumed.begin(), calibration.assumed.end(), [&](const Assumed& a) { return a.what == what; });
  };
  EXPECT_TRUE(assumed("lens view angle"));
  EXPECT_TRUE(assumed("camera tilt"));
  EXPECT_TRUE(assumed("camera yaw"));
  EXPECT_FALSE(assumed("baseline length uncertainty"));
}

TEST(CalibrateCamera, RefusesASurveyWithoutMetres) {
  Survey survey = WithBaseline(TrueCamera());
  survey.marks.clear();
  const auto calibration = CalibrateCamera(survey);
  ASSERT_FALSE(calibration);
  EXPECT_EQ(calibration.error().code, "no-scale");
  EXPECT_EQ(calibration.error().kind, ErrorKind::kRefused);
}

}  // namespace
}  // namespace loftline
