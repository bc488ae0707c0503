// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/carried_points.h"

#include <cmath>
#include <numbers>
#include <vector>

#include <Eigen/Dense>
#include <gtest/gtest.h>
#include <opencv2/core.hpp>

namespace loftline {
namespace {

Eigen::Matrix3d Turned() {
  Eigen::Matrix3d turned;
  turned << 1.02, -0.04, 31.0, 0.035, 0.98, -17.0, 2e-5, -3e-5, 1.0;
  return turned;
}

Track MovingTrack() {
  Track track;
  track.poses.resize(3);
  for (int i = 0; i < 3; ++i) track.poses[static_cast<std::size_t>(i)].frame = i;
  track.poses[0].reference_from_frame = Eigen::Matrix3d::Identity();
  track.poses[2].reference_from_frame = Turned();
  track.poses[2].std_px = 0.3;
  return track;
}

TrackPoint PointOn(int frame) {
  TrackPoint point;
  point.frame = frame;
  point.at_px = {812.25, 344.5};
  point.cov_px2 << 0.09, 0.02, 0.02, 0.05;
  return point;
}

TEST(PointCarrier, LeavesPointsOfAStillCameraAlone) {
  const Track track;
  const Expected<PointCarrier> carrier = PointCarrier::To(track, 7);
  ASSERT_TRUE(carrier);
  const auto carried = carrier->Carry(PointOn(2));
  ASSERT_TRUE(carried);
  EXPECT_EQ(carried->at_px, PointOn(2).at_px);
  EXPECT_EQ(carried->cov_px2, PointOn(2).cov_px2);
}

// Against cv::perspectiveTransform, and its numeric derivative for the covariance.
TEST(PointCarrier, CarriesPointsAsAGeneralLibraryDoes) {
  const Track track = MovingTrack();
  const Expected<PointCarrier> carrier = PointCarrier::To(track, 0);
  ASSERT_TRUE(carrier);
  const auto carried = carrier->Carry(PointOn(2));
  ASSERT_TRUE(carried);
  const Eigen::Matrix3d turned = Turned();
  cv::Matx33d matrix;
  for (int i = 0; i < 9; ++i) matrix(i / 3, i % 3) = turned(i / 3, i % 3);
  constexpr double kStepPx = 1e-3;
  const Eigen::Vector2d at_px = PointOn(2).at_px;
  const std::vector<cv::Point2d> from{
      {at_px.x(), at_px.y()}, {at_px.x() + kStepPx, at_px.y()}, {at_px.x(), at_px.y() + kStepPx}};
  std::vector<cv::Point2d> to;
  cv::perspectiveTransform(from, to, matrix);
  EXPECT_NEAR(carried->at_px.x(), to[0].x, 1e-9);
  EXPECT_NEAR(carried->at_px.y(), to[0].y, 1e-9);
  Eigen::Matrix2d slope;
  slope << (to[1].x - to[0].x) / kStepPx, (to[2].x - to[0].x) / kStepPx, (to[1].y - to[0].y) / kStepPx,
      (to[2].y - to[0].y) / kStepPx;
  const Eigen::Matrix2d expected = slope * PointOn(2).cov_px2 * slope.transpose() + 0.09 * Eigen::Matrix2d::Identity();
  EXPECT_LT((carried->cov_px2 - expected).norm(), 1e-5);
}

TEST(PointCarrier, CarriesToTheSurveysOwnFrame) {
  const Track track = MovingTrack();
  const Expected<PointCarrier> carrier = PointCarrier::To(track, 2);
  ASSERT_TRUE(carrier);
  const auto on_survey_frame = carrier->Carry(PointOn(2));
  ASSERT_TRUE(on_survey_frame);
  EXPECT_LT((on_survey_frame->at_px - PointOn(2).at_px).norm(), 1e-9);
  EXPECT_FALSE(carrier->Carry(PointOn(1)));  // its pose is not known
}

TEST(PointCarrier, SaysThatTheSurveysFrameCannotBeUsed) {
  const Track track = MovingTrack();
  const Expected<PointCarrier> carrier = PointCarrier::To(track, 1);
  ASSERT_FALSE(carrier);
  EXPECT_EQ(carrier.error().code, "pose-unknown");
  EXPECT_NE(carrier.error().message.find("frame 1"), std::string::npos);
}

// Homographies of a camera that turns far have large entries: only what lies behind the survey frame's camera, or as
// good as, is left out.
TEST(PointCarrier, CarriesFromFarAside) {
  constexpr double kFocalPx = 1400.0;
  Eigen::Matrix3d px_from_ray = Eigen::Vector3d(kFocalPx, kFocalPx, 1.0).asDiagonal();
  px_from_ray.topRightCorner<2, 1>() = Eigen::Vector2d(959.5, 539.5);
  const auto turned_by = [&](double angle_rad) {
    Track track = MovingTrack();
    const Eigen::Matrix3d rotation = Eigen::AngleAxisd(angle_rad, Eigen::Vector3d::UnitY()).toRotationMatrix();
    const Eigen::Matrix3d homography = px_from_ray * rotation * px_from_ray.inverse();
    track.poses[2].reference_from_frame = homography / homography(2, 2);
    return track;
  };
  TrackPoint point = PointOn(2);
  point.at_px = {959.5, 539.5};
  for (const double angle_deg : {-75.0, -40.0, 40.0, 75.0}) {
    const double angle_rad = angle_deg * std::numbers::pi / 180.0;
    const Track track = turned_by(angle_rad);
    const auto carried = PointCarrier::To(track, 0)->Carry(point);
    ASSERT_TRUE(carried) << angle_deg;
    EXPECT_NEAR(carried->at_px.x(), 959.5 + kFocalPx * std::tan(angle_rad), 1e-6);
    EXPECT_LT((carried->pose_cov_px2 - 0.09 * Eigen::Matrix2d::Identity()).norm(), 1e-12);
  }
  for (const double angle_deg : {-100.0, 95.0}) {
    const Track track = turned_by(angle_deg * std::numbers::pi / 180.0);
    EXPECT_FALSE(PointCarrier::To(track, 0)->Carry(point)) << angle_deg;
  }
}

}  // namespace
}  // namespace loftline
