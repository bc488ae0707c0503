// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The truth generator's camera and shutter, against OpenCV's projection and against their definition.
#include "sample-clips/render/lens.h"

#include "sample-clips/render/body_motion.h"
#include "sample-clips/render/shutter.h"
#include "sample-clips/render/truth.h"

#include <numbers>

#include <gtest/gtest.h>
#include <opencv2/calib3d.hpp>

namespace loftline::render {
namespace {

CameraPlace AskewPlace() {
  CameraPlace place;
  place.k1 = 0.02, place.k2 = -0.015, place.p1 = 0.0008, place.p2 = -0.0006;
  place.x_m = 4.0, place.height_m = 0.9, place.distance_m = 14.0;
  place.yaw_deg = 6.0, place.tilt_deg = 11.0, place.roll_deg = -3.0;
  return place;
}

// cam_from_world by composed rotations: turning right is negative about y (up), looking up positive about x (right),
// rolling clockwise for the user negative about z (backwards); then y and z flip into OpenCV's camera axes.
cv::Matx33d CamFromWorld(const CameraPlace& place) {
  const double rad = std::numbers::pi / 180;
  cv::Matx33d yaw, tilt, roll;
  cv::Rodrigues(cv::Vec3d(0, -place.yaw_deg * rad, 0), yaw);
  cv::Rodrigues(cv::Vec3d(place.tilt_deg * rad, 0, 0), tilt);
  cv::Rodrigues(cv::Vec3d(0, 0, -place.roll_deg * rad), roll);
  const cv::Matx33d flip(1, 0, 0, 0, -1, 0, 0, 0, -1);
  return flip * (yaw * tilt * roll).t();
}

TEST(Lens, AgreesWithOpenCvsProjection) {
  const CameraPlace place = AskewPlace();
  const Picture picture;
  const Lens lens(place, picture);
  const cv::Matx33d rotation = CamFromWorld(place);
  cv::Vec3d rotation_vector;
  cv::Rodrigues(rotation, rotation_vector);
  const cv::Vec3d translation = -(rotation * cv::Vec3d(place.x_m, place.height_m, place.distance_m));
  const double focal = 960 / std::tan(place.horizontal_view_deg / 2 * std::numbers::pi / 180);
  const cv::Matx33d matrix(focal, 0, 959.5, 0, focal, 539.5, 0, 0, 1);
  std::vector<cv::Point3d> points;
  for (int column = 0; column <= 10; ++column) {
    const double x = -2 + 1.1 * column;
    for (int row = 0; row <= 5; ++row) points.emplace_back(x, -1 + 1.7 * row, 0.3 * x - 1);
  }
  std::vector<cv::Point2d> seen;
  cv::projectPoints(
      points, rotation_vector, translation, matrix, std::vector<double>{place.k1, place.k2, place.p1, place.p2}, seen);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Vector2d px = lens.PxFromWorld({points[i].x, points[i].y, points[i].z});
    EXPECT_NEAR(px.x(), seen[i].x, 1e-8);
    EXPECT_NEAR(px.y(), seen[i].y, 1e-8);
  }
}

TEST(Lens, SignsOfThePoseAreAsStated) {
  const auto pixel_of_launch = [](auto change) {
    CameraPlace place;
    place.x_m = 0, place.height_m = 0, place.tilt_deg = 0;
    change(place);
    const Lens lens(place, Picture{});
    return std::pair(lens.PxFromWorld({0, 0, 0}), lens.PxFromWorld({1, 0, 0}));
  };
  EXPECT_LT(pixel_of_launch([](CameraPlace& p) { p.yaw_deg = 2; }).first.x(), 950) << "turned right: things move left";
  EXPECT_GT(pixel_of_launch([](CameraPlace& p) { p.tilt_deg = 2; }).first.y(), 550) << "looking up: things move down";
  const auto [at, right] = pixel_of_launch([](CameraPlace& p) { p.roll_deg = 2; });
  EXPECT_LT(right.y(), at.y()) << "rolled clockwise: the picture turns anticlockwise";
}

TEST(Lens, RayLeadsBackToThePixel) {
  const Lens lens(AskewPlace(), Picture{});
  for (const Eigen::Vector2d& px : {Eigen::Vector2d(0, 0), Eigen::Vector2d(1919, 1079), Eigen::Vector2d(700, 200)}) {
    const Eigen::Vector3d far_m = lens.centre_m() + 20 * lens.RayFromPx(px);
    EXPECT_LT((lens.PxFromWorld(far_m) - px).norm(), 1e-6);
  }
}

// A phone held upright stores rows that run along the upright picture's x axis (display matrix 90 clockwise: the stored
// picture's first row is the upright picture's right-hand edge).
TEST(Shutter, RowsFollowTheStoredPicture) {
  Timing timing;
  timing.readout_s = 0.01;
  const auto delay = [&](int rotation_deg, const Eigen::Vector2d& px) {
    const Picture picture = rotation_deg % 180 ? Picture{1080, 1920, rotation_deg} : Picture{1920, 1080, rotation_deg};
    return Shutter(timing, picture).TimeOf(0.0, px);
  };
  EXPECT_NEAR(delay(0, {500, 0}), 0.0, 1e-12);
  EXPECT_NEAR(delay(0, {500, 1079}), 0.01, 1e-12);
  EXPECT_NEAR(delay(180, {500, 0}), 0.01, 1e-12);
  EXPECT_NEAR(delay(90, {1079, 300}), 0.0, 1e-12);
  EXPECT_NEAR(delay(90, {0, 300}), 0.01, 1e-12);
  EXPECT_NEAR(delay(270, {0, 300}), 0.0, 1e-12);
}

TEST(Shutter, StretchedClipsKeepRealTime) {
  Scene scene;
  scene.timing.capture_rate_hz = 240;
  scene.timing.stored_rate_hz = 30;
  scene.timing.duration_s = 0.5;
  const auto frames = FrameTimes(scene);
  ASSERT_EQ(frames.size(), 120u);
  EXPECT_EQ(frames[24].ticks, 24 * 3000);
  EXPECT_NEAR(frames[24].time_s, 0.1, 1e-12);
}

TEST(Shutter, VariableStepsStayInOrder) {
  Scene scene;
  scene.timing.jitter_s = 0.003;
  scene.timing.drop_share = 0.1;
  scene.timing.duration_s = 10;
  const auto frames = FrameTimes(scene);
  EXPECT_LT(frames.size(), 580u);
  EXPECT_GT(frames.size(), 500u);
  for (std::size_t i = 1; i < frames.size(); ++i) EXPECT_GT(frames[i].ticks, frames[i - 1].ticks);
}

TEST(Truth, HoldsAtTheMomentOfItsOwnRow) {
  Scene scene;
  const Lens lens(scene.camera, scene.picture);
  const BodyMotion motion(scene);
  const Shutter shutter(scene.timing, scene.picture);
  const TruthPoint point = TruthAt({0, 1.2}, CameraMotion(lens), motion, shutter, scene);
  EXPECT_NEAR(point.row_time_s, 1.2 + scene.timing.readout_s * point.middle_px.y() / 1079, 1e-12);
  EXPECT_LT((lens.PxFromWorld(motion.At(point.row_time_s).middle_m) - point.middle_px).norm(), 1e-9);
}

}  // namespace
}  // namespace loftline::render
