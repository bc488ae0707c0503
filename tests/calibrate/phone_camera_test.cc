// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/phone_camera.h"

#include "calibrate/camera_model.h"

#include <fstream>
#include <unistd.h>

#include <gtest/gtest.h>

namespace loftline {
namespace {

constexpr const char* kFull = R"({"format": "loftline.camera", "format_version": 1,
 "image": {"width_px": 1920, "height_px": 1080, "rotation_deg": 90},
 "camera": {"horizontal_view_deg": 65.0, "horizontal_view_std_deg": 0.1,
            "distortion": {"k1": 0.06, "k1_std": 0.002, "k2": -0.11, "k2_std": 0.006, "k1_k2_correlation": -0.93,
                           "p1": 0.0007, "p1_std": 0.0001, "p2": -0.0004, "p2_std": 0.0002}},
 "timing": {"readout_s": 0.0162, "readout_std_s": 0.0001}})";

Expected<PhoneCamera> Read(const std::string& text) {
  const auto path =
      std::filesystem::path(testing::TempDir()) / ("loftline-" + std::to_string(getpid()) + ".camera.json");
  std::ofstream(path) << text;
  Expected<PhoneCamera> camera = ReadPhoneCamera(path);
  std::filesystem::remove(path);
  return camera;
}

PhoneCamera Full() {
  return Read(kFull).value();
}

Survey Of(int width_px, int height_px) {
  Survey survey;
  survey.width_px = width_px;
  survey.height_px = height_px;
  return survey;
}

TEST(PhoneCamera, WrittenAndReadAgainIsTheSame) {
  const PhoneCamera camera = Full();
  EXPECT_EQ(camera.lens.k1_k2_correlation, -0.93);
  EXPECT_EQ(camera.readout_s, 0.0162);
  const Expected<PhoneCamera> again = Read(PhoneCameraAsJson(camera).dump());
  ASSERT_TRUE(again) << Describe(again.error());
  EXPECT_EQ(PhoneCameraAsJson(*again), PhoneCameraAsJson(camera));
}

TEST(PhoneCamera, NamesWhatIsWrong) {
  const struct {
    const char *what, *with, *code, *key;
  } cases[] = {{"\"k1\"", "\"k3\"", "unknown-key", "camera.distortion.k3"},
               {"0.002", "0", "bad-value", "camera.distortion.k1_std"},
               {"-0.93", "-1.2", "bad-value", "camera.distortion.k1_k2_correlation"},
               {"\"k2_std\": 0.006, ", "", "bad-value", "camera.distortion.k1_k2_correlation"},
               {"90", "45", "bad-value", "image.rotation_deg"},
               {"1920", "3", "bad-value", "image.width_px"},
               {"0.0162", "2", "bad-value", "timing.readout_s"},
               {"\"readout_std_s\"", "\"capture_rate_hz\"", "unknown-key", "timing.capture_rate_hz"},
               {"loftline.camera", "loftline.survey", "bad-format", "format"},
               {"\"format_version\": 1", "\"format_version\": 2", "bad-version", "format_version"}};
  for (const auto& bad : cases) {
    std::string text = kFull;
    text.replace(text.find(bad.what), std::string(bad.what).size(), bad.with);
    const Expected<PhoneCamera> camera = Read(text);
    ASSERT_FALSE(camera) << bad.with;
    EXPECT_EQ(camera.error().code, bad.code) << Describe(camera.error());
    EXPECT_EQ(camera.error().key, bad.key);
  }
}

TEST(PhoneCamera, FillsInWhatASurveyLeavesOpen) {
  Survey survey = Of(1920, 1080);
  ASSERT_TRUE(PutInto(Full(), 90, &survey));
  EXPECT_EQ(survey.camera.horizontal_view_std_deg, 0.1);
  EXPECT_EQ(survey.camera.k2, -0.11);
  EXPECT_EQ(survey.camera.k2_std, 0.006);
  EXPECT_EQ(survey.camera.p1, 0.0007);
  EXPECT_EQ(survey.timing.readout_std_s, 0.0001);

  Survey own = Of(1920, 1080);
  own.camera.horizontal_view_deg = 70.0;
  own.camera.k1 = 0.01;
  own.timing.readout_s = 0.02;
  ASSERT_TRUE(PutInto(Full(), 90, &own));
  EXPECT_EQ(own.camera.horizontal_view_deg, 70.0);
  EXPECT_FALSE(own.camera.horizontal_view_std_deg);
  EXPECT_EQ(own.camera.k1, 0.01);
  EXPECT_FALSE(own.camera.k2_std);
  EXPECT_EQ(own.timing.readout_s, 0.02);
}

TEST(PhoneCamera, AnotherSizeKeepsTheAnglesButNotTheReadout) {
  Survey survey = Of(1280, 720);
  ASSERT_TRUE(PutInto(Full(), 90, &survey));
  EXPECT_EQ(survey.camera.horizontal_view_deg, 65.0);
  EXPECT_FALSE(survey.timing.readout_s);
}

TEST(PhoneCamera, AnotherShapeIsRefused) {
  Survey survey = Of(1440, 1080);
  const Status status = PutInto(Full(), 90, &survey);
  ASSERT_FALSE(status);
  EXPECT_EQ(status.error().code, "size-mismatch");
}

// The lens goes round with the picture: a direction that one picture shows at a pixel is shown by the turned picture at
// the turned pixel.
TEST(PhoneCamera, ATurnedPictureHasTheSameLens) {
  for (const int clip_deg : {0, 90, 180, 270}) {
    const bool lying = clip_deg % 180 == 0;
    Survey survey = lying ? Of(1080, 1920) : Of(1920, 1080);
    ASSERT_TRUE(PutInto(Full(), clip_deg, &survey));
    const PhoneCamera camera = Full();
    const auto lens = [](const CameraEvidence& evidence, int width_px) {
      CameraVector parameters = CameraVector::Zero();
      parameters[kFocalPx] = FocalPxFromView(RadFromDeg(*evidence.horizontal_view_deg), width_px);
      parameters.segment<4>(kK1) << *evidence.k1, *evidence.k2, *evidence.p1, *evidence.p2;
      return parameters;
    };
    const CameraVector before = lens(camera.lens, 1920), after = lens(survey.camera, survey.width_px);
    Eigen::Vector2d ideal(0.31, -0.17), ideal_turned = ideal;
    Eigen::Vector2d px = before[kFocalPx] * Distorted(before.data(), ideal);
    for (int turn = 90; turn != clip_deg; turn = (turn + 90) % 360) {  // clockwise, y down
      ideal_turned = Eigen::Vector2d(-ideal_turned.y(), ideal_turned.x());
      px = Eigen::Vector2d(-px.y(), px.x());
    }
    const Eigen::Vector2d px_turned = after[kFocalPx] * Distorted(after.data(), ideal_turned);
    EXPECT_LT((px_turned - px).norm(), 1e-9) << clip_deg;
    EXPECT_GT(*survey.camera.horizontal_view_std_deg, 0.0);
  }
}

// The view across the upright side: 2 atan(9/16 tan(65/2 deg)) is 39.4305 degrees.
TEST(PhoneCamera, PhotographsHeldTheOtherWayLeaveTheTangentialTermsOpen) {
  PhoneCamera camera = Full();
  camera.rotation_deg.reset();
  Survey survey = Of(1080, 1920);
  ASSERT_TRUE(PutInto(camera, 90, &survey));
  EXPECT_NEAR(*survey.camera.horizontal_view_deg, 39.4305, 1e-3);
  EXPECT_EQ(survey.camera.p1, 0.0);
  EXPECT_NEAR(
      *survey.camera.p1_std, std::sqrt(0.0007 * 0.0007 + 0.0004 * 0.0004 + 0.0001 * 0.0001 + 0.0002 * 0.0002), 1e-12);
  EXPECT_EQ(survey.camera.k1, 0.06);
}

}  // namespace
}  // namespace loftline
