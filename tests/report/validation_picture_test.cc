// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_picture.h"

#include "core/atomic_file.h"
#include "core/json_file.h"
#include "fit/result_file.h"
#include "report/decode_image.h"
#include "report/encode_image.h"
#include "report/flight_drawing.h"
#include "report/flight_picture.h"
#include "report/validation_page.h"
#include "tests/report/example_flight.h"
#include "tests/report/example_validation.h"
#include "tests/report/run_tool.h"
#include "tracker/motion_file.h"

#include <cmath>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

constexpr double kFocal_px = 1180.0, kDistance_m = 18.0, kCameraX_m = 11.0, kCameraY_m = 4.5;

// A level pinhole, written out: metres in the plane to pixels of a picture of 1920 x 1080.
Eigen::Vector2d Pixel(const Eigen::Vector2d& at_m) {
  return {959.5 + kFocal_px * (at_m.x() - kCameraX_m) / kDistance_m,
          539.5 - kFocal_px * (at_m.y() - kCameraY_m) / kDistance_m};
}

// The example's flight without its camera's tilt, as result.json keeps it: the motion, not the path.
FlightResult MeasuredFlight() {
  FlightResult result = ExampleFlight();
  result.survey.marks.clear();
  result.survey.launch = {Pixel({0.0, 0.0}), 0.4};
  result.flight.flight_time_s = Estimate{result.path.back().time_s, 0.02, 0.0, 0.0};
  FittedMotion& motion = result.motion;
  motion.values[kForwardMPerS] = 20.0 * std::cos(1.0);
  motion.values[kUpMPerS] = 20.0 * std::sin(1.0);
  motion.values[kLogDrag] = std::log(0.021);
  motion.covariance = 1e-6 * MotionMatrix::Identity();
  motion.conditions.gravity_m_per_s2 = 9.81;
  motion.first_seen_s = result.points.front().time_s;
  motion.last_seen_s = result.points.back().time_s;
  motion.camera[kFocalPx] = kFocal_px;
  motion.camera[kCameraXM] = kCameraX_m;
  motion.camera[kCameraYM] = kCameraY_m;
  motion.camera[kDistanceM] = kDistance_m;
  return result;
}

// What measure crops the picture to: the path by the example's own small steps, through the pinhole above.
ShownRegion RegionOf(FlightResult result) {
  for (PathSample& sample : result.path) sample.in_px = Pixel(sample.in_plane_m);
  result.points.clear();
  return *FlightRegion(result, 1920, 1080, kLongestShown);
}

// A result and a grey picture of some size beside it; says where the result is.
std::string Kept(const FlightResult& result, int width, int height) {
  const std::filesystem::path folder = TestFolder();
  const Expected<std::string> json = JsonText(ResultAsJson(result));
  EXPECT_TRUE(json);
  EXPECT_TRUE(WriteFileAtomically(folder / "heron-3.result.json", *json));
  const Expected<std::string> png = EncodePng(cv::Mat(height, width, CV_8UC4, cv::Scalar(90, 120, 150, 255)));
  EXPECT_TRUE(png);
  EXPECT_TRUE(WriteFileAtomically(folder / "heron-3.flight.png", *png));
  return (folder / "heron-3.result.json").string();
}

FlightValidation Validated(const std::string& result_file) {
  FlightValidation flight = ExampleValidation(1.3, Agreement::kDisagrees);
  flight.result_file = result_file;
  for (PathMoment& moment : flight.path.moments) {
    moment.simulated_px = Pixel(moment.simulated_m);
    moment.measured_px = Pixel(moment.measured_m);
  }
  return flight;
}

TEST(ValidationPicture, DrawsTheSimulatorWhereThePictureShowsIt) {
  const FlightResult result = MeasuredFlight();
  const ShownRegion region = RegionOf(result);
  const FlightValidation flight = Validated(Kept(result, region.shown_width(), region.shown_height()));
  const Expected<std::string> html = ValidationPicture(flight);
  ASSERT_TRUE(html);
  EXPECT_THAT(*html, HasSubstr("data:image/jpeg;base64,/9j/"));
  EXPECT_THAT(*html, Not(HasSubstr("goes on beyond"))) << "more drag than the rocket's stays inside";
  const std::string line = html->substr(html->find("class=\"simulated\" d=\"M") + 22);
  for (std::size_t i = 0, at = 0; i < flight.path.moments.size(); ++i) {
    double x = 0.0, y = 0.0;
    ASSERT_EQ(std::sscanf(line.c_str() + at, "%lf %lf", &x, &y), 2) << i;
    const Eigen::Vector2d shown = region.ShownFromPx(flight.path.moments[i].simulated_px);
    // Two pixels: the region's corner is rounded to even ones.
    EXPECT_NEAR(x, shown.x(), 2.0);
    EXPECT_NEAR(y, shown.y(), 2.0);
    at = line.find('L', at) + 1;
  }
}

// Of a camera held by hand the picture is in the first frame's view, the survey in that of its own frame: here 40 px to
// the right and 30 px higher.
TEST(ValidationPicture, FollowsACameraThatWasHeldByHand) {
  FlightResult result = MeasuredFlight();
  result.survey.frame = 2;
  std::vector<CameraPose> poses;
  for (int frame = 0; frame < 3; ++frame) {
    Eigen::Matrix3d pose = Eigen::Matrix3d::Identity();
    pose.col(2).head<2>() = Eigen::Vector2d(20.0, -15.0) * frame;
    poses.push_back({frame, frame / 60.0, pose, 0.1});
  }
  FlightResult in_first = result;
  for (PathSample& sample : in_first.path) sample.in_px = Pixel(sample.in_plane_m) + Eigen::Vector2d(40.0, -30.0);
  *in_first.survey.launch.px += Eigen::Vector2d(40.0, -30.0);
  in_first.points.clear();
  const ShownRegion region = *FlightRegion(in_first, 1920, 1080, kLongestShown);
  const FlightValidation flight = Validated(Kept(result, region.shown_width(), region.shown_height()));
  const std::filesystem::path folder = std::filesystem::path(flight.result_file).parent_path();
  ASSERT_TRUE(WriteFileAtomically(folder / "heron-3.motion.csv", MotionAsCsv(poses)));
  const std::string html = *ValidationPicture(flight);
  const std::size_t at = html.find("class=\"simulated\" d=\"M");
  ASSERT_NE(at, std::string::npos);
  double x = 0.0, y = 0.0;
  ASSERT_EQ(std::sscanf(html.c_str() + at + 22, "%lf %lf", &x, &y), 2);
  const Eigen::Vector2d shown =
      region.ShownFromPx(flight.path.moments.front().simulated_px + Eigen::Vector2d(40.0, -30.0));
  EXPECT_NEAR(x, shown.x(), 2.0);
  EXPECT_NEAR(y, shown.y(), 2.0);
}

TEST(ValidationPicture, SaysWhereTheSimulatorLeavesThePicture) {
  const FlightResult result = MeasuredFlight();
  const ShownRegion region = RegionOf(result);
  FlightValidation flight = Validated(Kept(result, region.shown_width(), region.shown_height()));
  flight.path.moments.back().simulated_px.x() = 2500.0;
  EXPECT_THAT(*ValidationPicture(flight), HasSubstr("goes on beyond"));
}

TEST(ValidationHtml, PrintsOnTwoSheetsWithItsPicture) {
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  const FlightResult result = MeasuredFlight();
  const ShownRegion region = RegionOf(result);
  const std::string file = Kept(result, region.shown_width(), region.shown_height());
  const std::filesystem::path path = std::filesystem::path(file).parent_path() / "validation.html";
  ASSERT_TRUE(WriteValidationPage(path, {{{Validated(file), {}, ""}}, {}, {}}));
  EXPECT_EQ(PrintedSheets(path), 2);
}

TEST(ValidationPicture, SaysHowToGetOneWhereThereIsNone) {
  const FlightResult result = MeasuredFlight();
  const ShownRegion region = RegionOf(result);
  const FlightValidation flight = Validated(Kept(result, region.shown_width(), region.shown_height() - 60));
  const Expected<std::string> html = ValidationPicture(flight);
  ASSERT_TRUE(html);
  EXPECT_THAT(*html, HasSubstr("loftline measure")) << "a picture of another size shows another part of the scene";
  std::filesystem::remove(std::filesystem::path(flight.result_file).parent_path() / "heron-3.flight.png");
  EXPECT_THAT(*ValidationPicture(flight), HasSubstr("loftline measure"));
  EXPECT_THAT(*ValidationPicture(Validated("elsewhere.json")), HasSubstr("loftline measure"));
}

TEST(ValidationPicture, HeightsAloneHaveNone) {
  FlightValidation flight = ExampleValidation(1.3, Agreement::kDisagrees);
  flight.path.heights_only = true;
  EXPECT_EQ(*ValidationPicture(flight), "");
}

TEST(DecodePng, GivesBackWhatWasEncoded) {
  cv::Mat picture(31, 47, CV_8UC4, cv::Scalar(10, 20, 30, 255));
  for (int x = 0; x < picture.cols; ++x) picture.at<cv::Vec4b>(7, x) = {static_cast<std::uint8_t>(5 * x), 200, 3, 255};
  const Expected<std::string> png = EncodePng(picture);
  ASSERT_TRUE(png);
  const std::optional<cv::Mat> decoded = DecodePng(*png);
  ASSERT_TRUE(decoded);
  ASSERT_EQ(decoded->size(), picture.size());
  EXPECT_EQ(cv::norm(*decoded, picture, cv::NORM_INF), 0.0);
}

TEST(DecodePng, RefusesWhatIsNoWholePng) {
  const cv::Mat picture(200, 300, CV_8UC4, cv::Scalar(10, 20, 30, 255));
  const std::string png = *EncodePng(picture);
  EXPECT_FALSE(DecodePng(""));
  EXPECT_FALSE(DecodePng("not a picture at all"));
  EXPECT_FALSE(DecodePng(*EncodeJpeg(picture)));
  EXPECT_FALSE(DecodePng(png.substr(0, png.size() / 2)));
  std::string damaged = png;
  damaged[png.size() / 2] = static_cast<char>(damaged[png.size() / 2] ^ 0x40);
  EXPECT_FALSE(DecodePng(damaged)) << "its checksum is wrong";
  EXPECT_FALSE(DecodePng(*EncodePng(cv::Mat(8, kLongestShown + 1, CV_8UC4, cv::Scalar(0, 0, 0, 255)))));
}

}  // namespace
}  // namespace loftline
