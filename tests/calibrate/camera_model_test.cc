// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/camera_model.h"

#include <random>

#include <gtest/gtest.h>
#include <opencv2/calib3d.hpp>

namespace loftline {
namespace {

Camera SomeCamera() {
  Camera camera;
  camera.width_px = 1920;
  camera.height_px = 1080;
  camera.parameters << 1500, -0.08, 0.03, 0.0012, -0.0007, 0.06, 0.11, -0.04, 7.5, 1.3, 18.0;
  return camera;
}

// OpenCV's camera: its x is ours, its y points down and its z away from the camera.
cv::Point2d ByOpenCv(const Camera& camera, const Eigen::Vector3d& at_m) {
  const auto& p = camera.parameters;
  const auto turn = [](double x, double y, double z) {
    cv::Mat matrix;
    cv::Rodrigues(cv::Vec3d(x, y, z), matrix);
    return matrix;
  };
  const cv::Mat facing = (cv::Mat_<double>(3, 3) << 1, 0, 0, 0, -1, 0, 0, 0, -1);
  const cv::Mat rotation = turn(0, 0, -p[kRollRad]) * turn(-p[kTiltRad], 0, 0) * turn(0, -p[kYawRad], 0) * facing;
  const cv::Mat centre = (cv::Mat_<double>(3, 1) << p[kCameraXM], p[kCameraYM], p[kDistanceM]);
  const cv::Mat shift = -rotation * centre;
  const cv::Mat lens = (cv::Mat_<double>(3, 3) << p[kFocalPx],
                        0,
                        camera.principal_px().x(),
                        0,
                        p[kFocalPx],
                        camera.principal_px().y(),
                        0,
                        0,
                        1);
  const cv::Mat distortion = (cv::Mat_<double>(1, 4) << p[kK1], p[kK2], p[kP1], p[kP2]);
  cv::Mat rotation_vector;
  cv::Rodrigues(rotation, rotation_vector);
  std::vector<cv::Point2d> px;
  cv::projectPoints(
      std::vector<cv::Point3d>{{at_m.x(), at_m.y(), at_m.z()}}, rotation_vector, shift, lens, distortion, px);
  return px[0];
}

TEST(Camera, ProjectsAsOpenCvDoes) {
  std::mt19937_64 random(20);
  std::uniform_real_distribution<double> along(-2, 16), up(-1, 12), depth(-2, 2), small(-0.2, 0.2);
  for (int i = 0; i < 200; ++i) {
    Camera camera = SomeCamera();
    camera.parameters[kYawRad] = small(random);
    camera.parameters[kTiltRad] = small(random);
    camera.parameters[kRollRad] = small(random);
    const Eigen::Vector3d at_m(along(random), up(random), depth(random));
    const cv::Point2d expected = ByOpenCv(camera, at_m);
    const Eigen::Vector2d px = camera.PxFromWorld(at_m);
    EXPECT_NEAR(px.x(), expected.x, 1e-8);
    EXPECT_NEAR(px.y(), expected.y, 1e-8);
  }
}

// Published calibration: OpenCV samples/data/left_intrinsics.yml (its k3 is 0.2385 and we have none, so only the radius
// at which k3 r^6 stays below 1e-4 px is compared: x = 0.1), and Zhang, MSR-TR-98-71, whose skew is left out.
TEST(Distortion, AgreesWithPublishedCalibrations) {
  const double zhang[kCameraSize] = {832.5, -0.228601, 0.190353};
  const Eigen::Vector2d at = Distorted(zhang, Eigen::Vector2d(0.3, 0.2));
  EXPECT_NEAR(832.5 * at.x() + 303.959, 547.090334, 1e-6);
  EXPECT_NEAR(832.53 * at.y() + 206.585, 368.678397, 1e-6);
  const double sample[kCameraSize] = {
      535.91573396163199, -0.26637260909660682, -0.038588898922304653, 0.0017831947042852964, -0.00028122100441115472};
  const Eigen::Vector2d near = Distorted(sample, Eigen::Vector2d(0.1, 0.0));
  EXPECT_NEAR(535.91573396163199 * near.x() + 342.28315473308373, 395.727260, 1e-4);
  EXPECT_NEAR(535.91573396163199 * near.y() + 235.57082909788173, 235.580386, 1e-4);
}

TEST(Camera, PlaneFromPxUndoesPxFromPlane) {
  std::mt19937_64 random(21);
  std::uniform_real_distribution<double> along(-2, 16), up(-1, 10);
  for (int i = 0; i < 200; ++i) {
    const Eigen::Vector2d at_m(along(random), up(random));
    EXPECT_LT((SomeCamera().PlaneFromPx(SomeCamera().PxFromPlane(at_m)) - at_m).norm(), 1e-9);
    const Eigen::Vector2d px = SomeCamera().PxFromWorld({at_m.x(), at_m.y(), 0.7});
    EXPECT_LT((SomeCamera().PlaneFromPx(px, 0.7) - at_m).norm(), 1e-9);
  }
}

TEST(Camera, SignsAreAsTheDesignSays) {
  Camera camera = SomeCamera();
  camera.parameters << 1500, 0, 0, 0, 0, 0, 0, 0, 0, 0, 20;
  const Eigen::Vector2d ahead = camera.PxFromPlane({0, 0});
  EXPECT_LT((ahead - camera.principal_px()).norm(), 1e-12);
  EXPECT_GT(camera.PxFromPlane({1, 0}).x(), ahead.x());
  EXPECT_LT(camera.PxFromPlane({0, 1}).y(), ahead.y());
  EXPECT_GT(camera.PxFromWorld({1, 0, 5}).x(), camera.PxFromWorld({1, 0, 0}).x());  // nearer looks larger
  camera.parameters[kTiltRad] = 0.1;
  EXPECT_GT(camera.PxFromPlane({0, 0}).y(), ahead.y());  // looking up, the horizon sinks
  camera.parameters[kTiltRad] = 0;
  camera.parameters[kYawRad] = 0.1;
  EXPECT_LT(camera.PxFromPlane({0, 0}).x(), ahead.x());  // turned right, things move left
  camera.parameters[kYawRad] = 0;
  camera.parameters[kRollRad] = 0.1;
  EXPECT_LT(camera.PxFromPlane({1, 0}).y(), ahead.y());  // turned clockwise, the right side rises in the picture
}

// The two view angles that a phone reports for its video formats, and their focal lengths at 1920 pixels (reported by
// the maker's programming interface).
TEST(ViewAngle, AgreesWithReportedFocalLengths) {
  EXPECT_NEAR(FocalPxFromView(RadFromDeg(60.983), 1920), 1630.31, 0.005);
  EXPECT_NEAR(FocalPxFromView(RadFromDeg(69.654), 1920), 1379.87, 0.005);
  EXPECT_NEAR(DegFromRad(HorizontalViewRad(1630.31, 1920)), 60.983, 1e-3);
}

TEST(Camera, BehindTheCameraIsNowhere) {
  EXPECT_TRUE(std::isnan(SomeCamera().PxFromWorld({0, 0, 40}).x()));
}

}  // namespace
}  // namespace loftline
