// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The drawn clips themselves: a test's truth must be true.
#include "tests/tracker/synthetic_frames.h"

#include <cmath>
#include <numbers>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr double kPi = std::numbers::pi;

// The first frame beside that of the same clip without the rocket.
cv::Mat Difference(const ClipScene& with) {
  ClipScene without = with;
  without.quick.clear();
  SyntheticFrames a(with);
  SyntheticFrames b(without);
  const Expected<std::optional<Frame>> seen = a.Read();
  const Expected<std::optional<Frame>> empty = b.Read();
  cv::Mat difference;
  cv::subtract((*seen)->luma, (*empty)->luma, difference, cv::noArray(), CV_32F);
  return difference;
}

struct Moments {
  double sum = 0.0;
  Eigen::Vector2d middle_px = Eigen::Vector2d::Zero();
};
Moments MomentsOf(const cv::Mat& difference) {
  Moments moments;
  for (int y = 0; y < difference.rows; ++y) {
    for (int x = 0; x < difference.cols; ++x) {
      moments.sum += difference.at<float>(y, x);
      moments.middle_px += difference.at<float>(y, x) * Eigen::Vector2d(x, y);
    }
  }
  moments.middle_px /= moments.sum;
  return moments;
}

RocketScene StandingRocket(const Eigen::Vector2d& middle_px) {
  RocketScene rocket;
  rocket.launch_s = 1e6;
  rocket.velocity_px_per_s = {300.0, -400.0};
  rocket.push_px = 1e-9;
  rocket.mouth_px = middle_px;
  rocket.fins = false;
  return rocket;
}

// Area of a bar with round ends: diameter times straight part, and a disc.
TEST(SyntheticFrames, PixelsAreCoveredByTheirExactShares) {
  const Eigen::Vector2d middle_px(320.3, 180.7);
  const RocketScene rocket = StandingRocket(middle_px);
  ClipScene scene;
  scene.noise = 0.0;
  scene.texture = 0.0;
  scene.quick.push_back(Shown(std::make_shared<const Rocket>(rocket)));
  cv::Mat share = Difference(scene);
  for (int y = 0; y < share.rows; ++y) {
    const double shade = 140.0 - 40.0 * y / 360.0;
    share.row(y) /= rocket.body_level - shade;
  }
  const Moments moments = MomentsOf(share);
  const double area_px2 = (18.0 - 4.0) * 4.0 + kPi * 4.0;
  // Grey levels are whole numbers, and the round ends have 16 sides.
  EXPECT_NEAR(moments.sum, area_px2, 0.01 * area_px2);
  EXPECT_NEAR((moments.middle_px - middle_px).norm(), 0.0, 0.01);
}

// A fall from rest with square-law drag: y = ln(cosh(t sqrt(g k))) / k, in any textbook of mechanics.
TEST(SyntheticFrames, FallsAsTheClosedFormSays) {
  RocketScene scene;
  scene.mouth_px = {300.0, 0.0};
  scene.velocity_px_per_s = {0.0, 1e-9};
  scene.drag_per_px = 2e-3;
  scene.ground_px = 1000.0;
  const Rocket rocket(scene);
  for (const double t : {0.1, 0.5, 1.0, 1.7}) {
    const double y = std::log(std::cosh(t * std::sqrt(520.0 * 2e-3))) / 2e-3;
    EXPECT_NEAR(rocket.At(0.6 + t).at_px.y(), y, 1e-3);
  }
}

// Without drag: a parabola, whose time to return to the mouth's height is 2 v / g.
TEST(SyntheticFrames, FliesAParabolaWithoutDrag) {
  RocketScene scene;
  scene.drag_per_px = 0.0;
  scene.ground_px = scene.mouth_px.y();
  const Rocket rocket(scene);
  EXPECT_NEAR(rocket.landing_s(), 0.6 + 2.0 * 520.0 / 520.0, 2e-3);
  EXPECT_NEAR((rocket.At(1.6).at_px - Eigen::Vector2d(70.0 + 330.0, 310.0 - 260.0)).norm(), 0.0, 1e-3);
}

// A rolling shutter: rows further down are seen later, by the readout's share.
TEST(SyntheticFrames, LowerRowsAreSeenLater) {
  const Rocket rocket(RocketScene{});
  ClipScene scene;
  const SeenMiddle seen = WhereSeen(rocket, scene, 1.0);
  EXPECT_NEAR(seen.seen_s, 1.0 + 0.012 * seen.pose.at_px.y() / 360.0, 1e-9);
  EXPECT_EQ(seen.pose.at_px, rocket.At(seen.seen_s).at_px);
}

// The same picture drawn with and without the smear has the same middle where WhereSeen says it is.
TEST(SyntheticFrames, StreakLiesAroundItsMiddle) {
  RocketScene rocket_scene;
  rocket_scene.fins = false;
  Stage stage = StageWith(rocket_scene);
  stage.scene.noise = 0.0;
  stage.scene.texture = 0.0;
  stage.scene.exposure_s = 0.015;
  stage.scene.samples = 48;
  stage.scene.first_s = 0.75;
  const Moments moments = MomentsOf(Difference(stage.scene));
  const SeenMiddle seen = WhereSeen(*stage.rocket, stage.scene, 0.75);
  EXPECT_NEAR((moments.middle_px - seen.pose.at_px).norm(), 0.0, 0.1);  // the shade behind it changes along the streak
}

// A track made from the truth is right; one with planted faults is not.
TEST(SyntheticFrames, CheckTellsGoodTracksFromBad) {
  const Rocket rocket(RocketScene{});
  const ClipScene scene;
  Track track;
  for (int frame = 0; frame < scene.frames; ++frame) {
    TrackPoint point;
    point.frame = frame;
    point.time_s = scene.first_s + frame / scene.rate_hz;
    const SeenMiddle seen = WhereSeen(rocket, scene, point.time_s);
    const bool flies = seen.seen_s > 0.61 && seen.seen_s < rocket.landing_s();
    point.at_px = seen.pose.at_px;
    point.state = flies ? PointState::kFlight : PointState::kOutlier;
    track.points.push_back(point);
  }
  const TrackCheck good = CheckTrack(track, rocket, scene);
  EXPECT_GE(good.FoundShare(), 0.98);
  EXPECT_THAT(good.outside, testing::IsEmpty());
  EXPECT_NEAR(good.rms_along_px + good.rms_across_px + std::abs(good.offset_along_px), 0.0, 1e-3);

  Track shifted = track;
  for (TrackPoint& point : shifted.points) point.at_px.x() += 1.0;
  const TrackCheck bad = CheckTrack(shifted, rocket, scene);
  EXPECT_GT(bad.rms_across_px, 0.5);
  EXPECT_NEAR(bad.mean_square_whitened, 0.5, 0.3);  // one pixel in one direction, at a variance of one

  Track late = track;
  late.points.back().state = PointState::kFlight;
  EXPECT_THAT(CheckTrack(late, rocket, scene).outside, testing::ElementsAre(scene.frames - 1));

  Track lost = track;
  lost.points.erase(lost.points.begin() + 60, lost.points.begin() + 80);
  EXPECT_LT(CheckTrack(lost, rocket, scene).FoundShare(), 0.9);
}

TEST(SyntheticFrames, SameSeedGivesSamePictures) {
  const Stage stage = StageWith({});
  SyntheticFrames a(stage.scene);
  SyntheticFrames b(stage.scene);
  for (int i = 0; i < 5; ++i) {
    const Expected<std::optional<Frame>> one = a.Read();
    const Expected<std::optional<Frame>> two = b.Read();
    EXPECT_EQ(cv::countNonZero((*one)->luma != (*two)->luma), 0);
  }
}

}  // namespace
}  // namespace loftline::test
