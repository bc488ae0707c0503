// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/steady_view.h"

#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Dense>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

namespace loftline::test {
namespace {

constexpr double kFocalPx = 1100.0;

// A hand that holds the phone, from rest on the first frame.
Eigen::Matrix3d FrameFromFirst(double since_first_s, const cv::Size& size) {
  const double t = 2.0 * std::numbers::pi * since_first_s;
  const double grown = std::min(1.0, 4.0 * since_first_s);
  const Eigen::Vector3d turn_rad =
      grown * Eigen::Vector3d(0.006 * std::sin(1.3 * t), 0.009 * std::sin(0.7 * t), 0.006 * std::sin(0.9 * t));
  const Eigen::Matrix3d rotation = (Eigen::AngleAxisd(turn_rad.z(), Eigen::Vector3d::UnitZ()) *
                                    Eigen::AngleAxisd(turn_rad.y(), Eigen::Vector3d::UnitY()) *
                                    Eigen::AngleAxisd(turn_rad.x(), Eigen::Vector3d::UnitX()))
                                       .toRotationMatrix();
  Eigen::Matrix3d camera;
  camera << kFocalPx, 0.0, 0.5 * (size.width - 1), 0.0, kFocalPx, 0.5 * (size.height - 1), 0.0, 0.0, 1.0;
  const Eigen::Matrix3d homography = camera * rotation * camera.inverse();
  return homography / homography(2, 2);
}

Eigen::Vector2d Through(const Eigen::Matrix3d& homography, const Eigen::Vector2d& at_px) {
  return (homography * at_px.homogeneous()).hnormalized();
}

// A tripod's frames as that hand would have filmed them.
class ShakenFrames : public FrameSource {
 public:
  explicit ShakenFrames(const ClipScene& scene) : frames_(scene), first_s_(scene.first_s) {}

  const ClipInfo& info() const override { return frames_.info(); }
  Expected<std::optional<Frame>> Read() override {
    Expected<std::optional<Frame>> frame = frames_.Read();
    if (!frame || !*frame) return frame;
    const Eigen::Matrix3d turned = FrameFromFirst((*frame)->time_s - first_s_, (*frame)->luma.size());
    cv::Matx33d matrix;
    for (int i = 0; i < 9; ++i) matrix(i / 3, i % 3) = turned(i / 3, i % 3);
    cv::warpPerspective((*frame)->luma, luma_, matrix, (*frame)->luma.size(), cv::INTER_CUBIC, cv::BORDER_REFLECT_101);
    (*frame)->luma = luma_;
    return frame;
  }

 private:
  SyntheticFrames frames_;
  double first_s_;
  cv::Mat luma_;
};

ClipScene HandHeldScene() {
  ClipScene scene;
  scene.width_px = 960;
  scene.height_px = 540;
  scene.frames = 150;
  scene.noise = 1.5;
  return scene;
}

RocketScene LaunchIntoIt() {
  RocketScene rocket;
  rocket.mouth_px = {150.0, 450.0};
  rocket.ground_px = 458.0;
  rocket.velocity_px_per_s = {380.0, -640.0};
  rocket.gravity_px_per_s2 = 640.0;
  rocket.length_px = 22.0;
  rocket.diameter_px = 5.0;
  return rocket;
}

// POINTS in the first frame's pixels, by the true motion.
Track InFirstFrame(const Track& track, const ClipScene& scene) {
  Track carried = track;
  for (TrackPoint& point : carried.points) {
    if (point.state == PointState::kHidden) continue;
    const Eigen::Matrix3d turned = FrameFromFirst(point.time_s - scene.first_s, {scene.width_px, scene.height_px});
    point.at_px = Through(turned.inverse(), point.at_px);
  }
  return carried;
}

TEST(SteadyView, LetsAHandHeldClipBeTrackedInEachFramesOwnPixels) {
  const Stage stage = StageWith(LaunchIntoIt(), HandHeldScene());
  ShakenFrames frames(stage.scene);
  const Expected<ClipTrack> result = TrackClip(frames, {});
  ASSERT_TRUE(result) << Describe(result.error());
  const TrackCheck check = CheckTrack(InFirstFrame(result->track, stage.scene), *stage.rocket, stage.scene);
  RecordProperty("rms_along_px", std::to_string(check.rms_along_px));
  RecordProperty("rms_across_px", std::to_string(check.rms_across_px));
  EXPECT_GE(check.FoundShare(), 0.95) << check.found << " of " << check.visible;
  EXPECT_THAT(check.outside, testing::IsEmpty());
  EXPECT_LE(check.rms_along_px, 0.35);
  EXPECT_LE(check.rms_across_px, 0.2);
  EXPECT_EQ(result->track.poses.size(), static_cast<std::size_t>(stage.scene.frames));
}

TEST(SteadyView, TellsWhereTheCameraPointed) {
  const Stage stage = StageWith(LaunchIntoIt(), HandHeldScene());
  ShakenFrames frames(stage.scene);
  const Expected<ClipTrack> result = TrackClip(frames, {});
  ASSERT_TRUE(result) << Describe(result.error());
  double squares = 0.0, worst_px = 0.0, farthest_px = 0.0;
  int count = 0;
  for (const CameraPose& pose : result->track.poses) {
    ASSERT_TRUE(pose.reference_from_frame) << pose.frame;
    const Eigen::Matrix3d turned =
        FrameFromFirst(pose.time_s - stage.scene.first_s, {stage.scene.width_px, stage.scene.height_px});
    for (const Eigen::Vector2d& at_px :
         {Eigen::Vector2d(200, 100), Eigen::Vector2d(760, 130), Eigen::Vector2d(480, 430)}) {
      const Eigen::Vector2d in_frame_px = Through(turned, at_px);
      const double off_px = (Through(*pose.reference_from_frame, in_frame_px) - at_px).norm();
      farthest_px = std::max(farthest_px, (in_frame_px - at_px).norm());
      worst_px = std::max(worst_px, off_px);
      squares += off_px * off_px;
      ++count;
    }
  }
  EXPECT_GT(farthest_px, 8.0) << "the scene shakes too little";
  EXPECT_LT(std::sqrt(squares / count), 0.2);
  EXPECT_LT(worst_px, 0.6);
}

TEST(SteadyView, LeavesATripodsClipAlone) {
  ClipScene scene = HandHeldScene();
  scene.slow = {Walker({100.0, 500.0}, 120.0, 160.0)};
  const Stage stage = StageWith(LaunchIntoIt(), scene);
  SyntheticFrames frames(stage.scene);
  const Expected<ClipTrack> result = TrackClip(frames, {});
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_TRUE(result->track.poses.empty());
}

// A turn bends rows in a way that no homography does. The nearest one is off by a small part of what rows differ by.
TEST(HomographyOf, KeepsNearTheRowsOwn) {
  FrameMotion motion;
  motion.trusted = true;
  motion.view.middle_px = {959.5, 539.5};
  motion.view.focal_px = 1500.0;
  motion.view.row_share_per_px = {0.0, 1.0 / 1080.0};
  motion.turn.frame_from_reference = RotationFromVector({0.004, -0.011, 0.006});
  motion.turn.readout_turn_rad = {0.0008, -0.0012};
  const double rows_differ_px = motion.view.focal_px * motion.turn.readout_turn_rad.norm();
  const Eigen::Matrix3d homography = HomographyOf(motion, 1920, 1080);
  EXPECT_EQ(homography(2, 2), 1.0);
  for (const double x : {0.0, 480.0, 960.0, 1919.0}) {
    for (const double y : {0.0, 270.0, 700.0, 1079.0}) {
      EXPECT_LT((Through(homography, {x, y}) - motion.ReferencePxFromFrame({x, y})).norm(), 0.15 * rows_differ_px)
          << x << " " << y;
    }
  }
  motion.still = true;
  EXPECT_EQ(HomographyOf(motion, 1920, 1080), Eigen::Matrix3d::Identity());
}

}  // namespace
}  // namespace loftline::test
