// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/planned_shot.h"

#include <cmath>

#include <Eigen/LU>
#include <gtest/gtest.h>

namespace loftline {
namespace {

const PredictedLaunch kLaunch{20.0, 60.0, 0.02, 9.81, 0.3, 0.4};

// A camera that looks straight at the flight plane from 20 m, 1500 px focal length: 75 px to the metre.
PlannedShot SquareShot() {
  PlannedShot shot;
  shot.camera.width_px = 1920;
  shot.camera.height_px = 1080;
  shot.camera.parameters[kFocalPx] = 1500.0;
  shot.camera.parameters[kCameraXM] = 10.0;
  shot.camera.parameters[kCameraYM] = 5.0;
  shot.camera.parameters[kDistanceM] = 20.0;
  shot.path = PlannedPath(kLaunch, PredictFlight(kLaunch, 0)->flight_time_s.value);
  return shot;
}

TEST(PlannedPath, KeepsToTheFlight) {
  const PlannedPath path(kLaunch, 3.0);
  for (const double time_s : {-0.05, 0.0, 0.0013, 0.7777, 1.5, 2.999}) {
    const PredictedSample at = path.At(time_s), exact = PredictAt(kLaunch, time_s);
    EXPECT_LT((at.in_plane_m - exact.in_plane_m).norm(), 1e-8) << time_s;
    EXPECT_LT((at.velocity_m_per_s - exact.velocity_m_per_s).norm(), 1e-5) << time_s;
  }
}

TEST(FramesOf, ShowsEachRowAtItsOwnTime) {
  const PlannedShot shot = SquareShot();
  for (const PlannedFrame& frame : FramesOf(shot, 2.8, 0.02)) {
    const double exposed_s = frame.stamp_s + shot.readout_s * frame.at_px.y() / (shot.camera.height_px - 1);
    EXPECT_LT((frame.at_px - PxOfMoment(shot, exposed_s)).norm(), 1e-4);
  }
}

TEST(FramesOf, KnowsMotionStreakAndLength) {
  PlannedShot shot = SquareShot();
  shot.readout_s = 0.0;
  const PlannedFrame launch = FramesOf(shot, 2.8, 0.0).front();
  // By hand: 20 m/s x 75 px/m = 1500 px/s; a 60th of a second less what gravity and drag take; 1/500 s; 0.25 m.
  EXPECT_NEAR(launch.motion_px.norm(), 25.0, 0.5);
  EXPECT_NEAR(launch.streak_px.norm(), 3.0, 0.01);
  EXPECT_NEAR(launch.body_px, 0.25 * 75.0, 0.01);
}

TEST(FramesOf, MirrorsFlightsToTheLeft) {
  PlannedShot shot = SquareShot();
  shot.readout_s = 0.0;
  shot.camera.parameters[kCameraXM] = 0.0;
  const std::vector<PlannedFrame> right = FramesOf(shot, 2.8, 0.02);
  shot.direction = Direction::kLeft;
  const std::vector<PlannedFrame> left = FramesOf(shot, 2.8, 0.02);
  ASSERT_EQ(left.size(), right.size());
  for (std::size_t i = 0; i < left.size(); ++i) {
    EXPECT_NEAR(left[i].at_px.x(), shot.camera.width_px - 1 - right[i].at_px.x(), 1e-9);
    EXPECT_NEAR(left[i].at_px.y(), right[i].at_px.y(), 1e-9);
  }
}

TEST(ViewOf, CountsOnlyWhatIsWhollyInThePicture) {
  PlannedShot shot = SquareShot();
  const PredictedFlight flight = *PredictFlight(kLaunch);
  const PlannedView whole = ViewOf(shot, flight);
  EXPECT_GT(whole.frames_in_view, 0);
  EXPECT_TRUE(whole.apogee_in_view);
  shot.camera.parameters[kCameraYM] = -8.0;  // the picture's upper edge is then below the apogee
  const PlannedView cut = ViewOf(shot, flight);
  EXPECT_LT(cut.frames_in_view, whole.frames_in_view);
  EXPECT_NEAR(cut.frames, whole.frames, 1);  // rows, and with them the last frame, shift a little
  EXPECT_FALSE(cut.apogee_in_view);
  shot.camera.parameters[kCameraXM] = 300.0;
  const PlannedView none = ViewOf(shot, flight);
  EXPECT_EQ(none.frames_in_view, 0);
  EXPECT_EQ(none.motion_px_slowest, 0.0);
}

// The points scatter about where they belong as their covariances say: the mean of n chi-square values of two degrees
// of freedom is 2 with a standard deviation of 2 / sqrt(n).
TEST(DrawTrack, ScattersAsItsCovariancesSay) {
  const PlannedShot shot = SquareShot();
  const std::vector<PlannedFrame> frames = FramesOf(shot, 2.8, 0.02);
  double chi2 = 0.0;
  int count = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const Track track = DrawTrack(frames, shot, PointNoise{}, seed);
    std::size_t next = 0;
    for (const PlannedFrame& frame : frames) {
      if (!frame.in_view) continue;
      const TrackPoint& point = track.points.at(next++);
      const Eigen::Vector2d error_px = point.at_px - frame.at_px;
      chi2 += error_px.dot(point.cov_px2.inverse() * error_px);
      ++count;
    }
    EXPECT_EQ(next, track.points.size());
  }
  EXPECT_NEAR(chi2 / count, 2.0, 4.0 * 2.0 / std::sqrt(count));
}

TEST(DrawTrack, LongStreaksAreKnownLessWellAlongThePath) {
  PlannedShot shot = SquareShot();
  shot.exposure_s = 1.0 / 60.0;
  const Track track = DrawTrack(FramesOf(shot, 2.8, 0.02), shot, PointNoise{}, 1);
  const TrackPoint& first = track.points.front();
  const Eigen::Vector2d along(std::cos(RadFromDeg(first.axis_deg)), -std::sin(RadFromDeg(first.axis_deg)));
  const Eigen::Vector2d across(-along.y(), along.x());
  EXPECT_NEAR(std::sqrt(along.dot(first.cov_px2 * along)), std::hypot(0.22, 0.03 * 25.0), 0.03);
  EXPECT_NEAR(std::sqrt(across.dot(first.cov_px2 * across)), 0.10, 1e-3);
  EXPECT_NEAR(first.axis_deg, 60.0, 3.0);  // rising to the right
}

}  // namespace
}  // namespace loftline
