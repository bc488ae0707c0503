// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/camera_motion.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <numbers>
#include <vector>

#include <Eigen/Dense>
#include <gtest/gtest.h>
#include <opencv2/core.hpp>

#include "moving_scene.h"

namespace loftline {
namespace {

using test::CameraPath;
using test::HandHeld;
using test::MovingScene;
using test::MovingSceneOptions;

double CpuSeconds() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

// What a run over a scene showed, from the second frame on.
struct Seen {
  int frames = 0, still = 0, trusted = 0;
  double rms_px = 0.0;        // over all frames and probe points
  double worst_px = 0.0;      // of all frames and probe points
  double end_worst_px = 0.0;  // of the last ten frames
  double nees = 0.0;          // mean normalised squared error, 2 where the stated covariance is true
  double cpu_ms = 0.0;        // per frame
  std::size_t most_landmarks = 0;
  std::vector<double> worst_px_of_frame;
  std::vector<bool> still_in_frame;
};

Seen Watch(MovingScene* scene, double rate_hz, double seconds, const CameraMotionOptions& options = {}) {
  CameraMotion motion(scene->options().width_px, scene->options().height_px, options);
  Seen seen;
  const int frames = static_cast<int>(std::lround(rate_hz * seconds));
  double squares = 0.0;
  double count = 0.0;
  double cpu_s = 0.0;
  for (int i = 0; i < frames; ++i) {
    const double time_s = i / rate_hz;
    const cv::Mat picture = scene->Picture(time_s);
    const double before_s = CpuSeconds();
    const FrameMotion told = motion.Look(picture, time_s);
    if (i == 0) continue;
    cpu_s += CpuSeconds() - before_s;
    ++seen.frames;
    seen.still += told.still ? 1 : 0;
    seen.trusted += told.trusted ? 1 : 0;
    double worst_px = 0.0;
    for (const Eigen::Vector2d& point_px : scene->ProbePoints()) {
      const Eigen::Vector2d true_px = scene->ReferencePxFromFrame(time_s, point_px);
      const double off_px = (told.FramePxFromReference(true_px) - point_px).norm();
      const Eigen::Vector2d off = told.ReferencePxFromFrame(point_px) - true_px;
      seen.nees += off.dot(told.ReferenceCovarianceAt(point_px).inverse() * off);
      squares += off_px * off_px;
      count += 1.0;
      worst_px = std::max(worst_px, off_px);
    }
    seen.worst_px = std::max(seen.worst_px, worst_px);
    if (i >= frames - 10) seen.end_worst_px = std::max(seen.end_worst_px, worst_px);
    seen.worst_px_of_frame.push_back(worst_px);
    seen.still_in_frame.push_back(told.still);
    seen.most_landmarks = std::max(seen.most_landmarks, motion.map().size());
  }
  seen.rms_px = std::sqrt(squares / count);
  seen.nees /= count;
  seen.cpu_ms = 1e3 * cpu_s / seen.frames;
  std::printf(
      "  rms %.3f px, worst %.3f, worst at the end %.3f, normalised square %.2f, %.2f ms of CPU per frame, "
      "focal length %.1f +- %.2f, readout %.4f s, %d of %d trusted, %d still\n",
      seen.rms_px,
      seen.worst_px,
      seen.end_worst_px,
      seen.nees,
      seen.cpu_ms,
      motion.focal_px(),
      motion.focal_px() * motion.focal_log_std(),
      motion.readout_s(),
      seen.trusted,
      seen.frames,
      seen.still);
  return seen;
}

MovingSceneOptions Cloudy(std::uint64_t seed) {
  MovingSceneOptions options;
  options.cloud_px_per_s = 6.0;  // 30 px in 5 s: enough to spoil everything if it were believed
  options.walkers = 3;
  options.seed = seed;
  return options;
}

CameraPath Resting() {
  return [](double) { return Eigen::Vector3d::Zero(); };
}

// Out and back by LEFT_PX of the picture's middle in SECONDS, with a hand's shake.
CameraPath Panning(double distance_px, double focal_px, double seconds, std::uint64_t seed) {
  const CameraPath shake = HandHeld(6.0, focal_px, seed);
  const double angle = std::atan(distance_px / focal_px);
  return [=](double time_s) {
    const double way = 0.5 - 0.5 * std::cos(2 * std::numbers::pi * time_s / seconds);
    return Eigen::Vector3d(shake(time_s) + Eigen::Vector3d(0.0, angle * way, 0.0));
  };
}

// The figure asked for: 0.3 px anywhere in the picture after 5 s, and here at all times.
TEST(CameraMotion, HandHeldAt30FramesPerSecond) {
  const MovingSceneOptions options = Cloudy(11);
  MovingScene scene(options, HandHeld(30.0, options.focal_px, 21));
  const Seen seen = Watch(&scene, 30.0, 5.0);
  EXPECT_EQ(seen.trusted, seen.frames);
  EXPECT_LT(seen.end_worst_px, 0.3);
  EXPECT_LT(seen.rms_px, 0.15);
}

TEST(CameraMotion, HandHeldAt60FramesPerSecond) {
  const MovingSceneOptions options = Cloudy(12);
  MovingScene scene(options, HandHeld(30.0, options.focal_px, 22));
  const Seen seen = Watch(&scene, 60.0, 5.0);
  EXPECT_EQ(seen.trusted, seen.frames);
  EXPECT_LT(seen.end_worst_px, 0.3);
  EXPECT_LT(seen.rms_px, 0.15);
}

// By a frame's width and back. Back at the start it is matched with the reference itself.
TEST(CameraMotion, PansByAFramesWidthAndBack) {
  MovingSceneOptions options = Cloudy(13);
  options.width_px = 960;
  options.height_px = 540;
  options.focal_px = 1100.0;
  options.reach_right_px = 2000;
  options.reach_px = 330;
  MovingScene scene(options, Panning(960.0, options.focal_px, 5.0, 23));
  const Seen seen = Watch(&scene, 30.0, 5.0);
  EXPECT_EQ(seen.trusted, seen.frames);
  EXPECT_LT(seen.end_worst_px, 0.3);
  EXPECT_LT(seen.rms_px, 0.5);
  EXPECT_LE(seen.most_landmarks, 800u);
}

TEST(CameraMotion, LearnsTheReadoutOfARollingShutter) {
  MovingSceneOptions options = Cloudy(14);
  options.readout_s = 0.016;
  CameraMotion motion(options.width_px, options.height_px);
  // It starts from rest, so that the reference frame itself is not bent.
  const CameraPath hand = HandHeld(40.0, options.focal_px, 24);
  MovingScene scene(options, [=](double time_s) {
    const double started = std::max(0.0, 1.0 - std::exp(-time_s / 0.3));
    return Eigen::Vector3d(started * started * hand(time_s));
  });
  FrameMotion told;
  double squares = 0.0;
  double middle_row_squares = 0.0;
  double count = 0.0;
  for (int i = 0; i < 90; ++i) {
    const double time_s = i / 30.0;
    told = motion.Look(scene.Picture(time_s), time_s);
    if (i < 30) continue;
    for (const Eigen::Vector2d& point_px : scene.ProbePoints()) {
      const Eigen::Vector2d true_px = scene.ReferencePxFromFrame(time_s, point_px);
      squares += (told.ReferencePxFromFrame(point_px) - true_px).squaredNorm();
      const Eigen::Vector2d plain_px = (told.reference_from_frame * point_px.homogeneous()).hnormalized();
      middle_row_squares += (plain_px - true_px).squaredNorm();
      count += 1.0;
    }
  }
  std::printf("  readout %.4f s, rms %.3f px by rows, %.3f px by the middle row's homography\n",
              motion.readout_s(),
              std::sqrt(squares / count),
              std::sqrt(middle_row_squares / count));
  EXPECT_NEAR(motion.readout_s(), options.readout_s, 0.003);
  EXPECT_LT(squares, 0.25 * middle_row_squares);
}

TEST(CameraMotion, StillCameraIsExactlyTheIdentity) {
  MovingSceneOptions options = Cloudy(15);
  options.width_px = 1920;
  options.height_px = 1080;
  options.walkers = 4;
  MovingScene scene(options, Resting());
  const Seen seen = Watch(&scene, 30.0, 2.0);
  EXPECT_EQ(seen.still, seen.frames);
  EXPECT_EQ(seen.trusted, seen.frames);
  EXPECT_LT(seen.worst_px, 1e-9);  // what remains is the truth's own rounding
  EXPECT_LT(seen.cpu_ms, 1.0);     // 0.14 ms on the machine where it was written; CI machines and sanitizers are slower
}

TEST(CameraMotion, StillUnderAnOvercastSkyThatDrifts) {
  MovingSceneOptions options = Cloudy(16);
  options.sky_share = 0.7;
  options.cloud_contrast = 60.0;
  MovingScene scene(options, Resting());
  const Seen seen = Watch(&scene, 30.0, 4.0);
  EXPECT_EQ(seen.still, seen.frames);
}

TEST(CameraMotion, NoticesABumpAndTheRestAfterIt) {
  const MovingSceneOptions options = Cloudy(17);
  // A tripod is knocked at 1.5 s: 8 px for a moment, and 1.2 px stay.
  const CameraPath path = [&](double time_s) {
    if (time_s < 1.5) return Eigen::Vector3d(0.0, 0.0, 0.0);
    const double since_s = time_s - 1.5;
    const double swing = 8.0 * std::exp(-since_s / 0.1) * std::sin(2 * std::numbers::pi * 6.0 * since_s);
    return Eigen::Vector3d((1.2 * (1 - std::exp(-since_s / 0.05)) + swing) / options.focal_px, 0.0, 0.0);
  };
  MovingScene scene(options, path);
  const Seen seen = Watch(&scene, 30.0, 6.0);
  EXPECT_EQ(seen.trusted, seen.frames);
  EXPECT_LT(seen.worst_px, 0.3);
  for (std::size_t i = 0; i < 44; ++i) EXPECT_TRUE(seen.still_in_frame[i]) << i;
  for (std::size_t i = 46; i < seen.still_in_frame.size(); ++i) EXPECT_FALSE(seen.still_in_frame[i]) << i;
}

TEST(CameraMotion, NoticesAHandThatWasSteadyAtFirst) {
  const MovingSceneOptions options = Cloudy(18);
  const CameraPath hand = HandHeld(20.0, options.focal_px, 28);
  const CameraPath path = [=](double time_s) {
    const double eased_s = time_s < 0.6 ? 0.0 : time_s - 0.6;
    return Eigen::Vector3d(hand(eased_s) * std::min(1.0, eased_s));
  };
  MovingScene scene(options, path);
  const Seen seen = Watch(&scene, 60.0, 3.0);
  EXPECT_LT(seen.worst_px, 0.35);  // what is taken for a rest may be 0.15 px off at the corners, and noise
  EXPECT_TRUE(seen.still_in_frame[30]);
  EXPECT_FALSE(seen.still_in_frame.back());
}

// Mean over hand-held scenes of the squared error over its stated covariance: 2 if that were exact. Landmarks share
// errors (leaves sway together, lenses bend, coders repeat themselves) that these scenes do not have, and three times
// the variance is allowed for them: measured here 0.2, that is a standard deviation three times too wide; on rendered
// hand-held clips with swaying trees, lens and H.264 1.2 to 2.4.
TEST(CameraMotion, StatedUncertaintyCoversTheError) {
  double sum = 0.0;
  for (std::uint64_t seed = 31; seed < 35; ++seed) {
    MovingSceneOptions options = Cloudy(seed);
    options.noise = 2.5;
    MovingScene scene(options, HandHeld(25.0, options.focal_px, seed + 10));
    sum += Watch(&scene, 30.0, 2.0).nees / 4.0;
  }
  EXPECT_GT(sum, 0.08);
  EXPECT_LT(sum, 2.5);
}

// Up until nothing but sky is in view, and down again. Soft clouds have no corner that a small patch could hold on to.
TEST(CameraMotion, HoldsOnToSoftCloudsWhereNothingElseIsInView) {
  MovingSceneOptions options;
  options.cloud_grains_px = {70.0, 180.0};
  options.cloud_contrast = 60.0;
  options.reach_px = 1100;
  options.seed = 5;
  const CameraPath shake = HandHeld(5.0, options.focal_px, 6);
  MovingScene scene(options, [shake](double time_s) {
    const double way = 0.5 - 0.5 * std::cos(2 * std::numbers::pi * time_s / 3.0);
    return Eigen::Vector3d(shake(time_s) + Eigen::Vector3d(0.65 * way, 0.0, 0.0));
  });
  const Eigen::Vector2d lowest_px = scene.ReferencePxFromFrame(1.5, {640.0, 719.0});
  ASSERT_LT(lowest_px.y(), 100.0) << "the trees stay in view";
  const Seen seen = Watch(&scene, 60.0, 3.0);
  EXPECT_GE(seen.trusted, 0.98 * seen.frames);
  EXPECT_LT(seen.rms_px, 4.0);
  EXPECT_LT(seen.end_worst_px, 6.0);
  EXPECT_LT(seen.nees, 6.0);
}

// Trees look alike. After a blind stretch a place like the one before is not the one before.
TEST(CameraMotion, TakesNoOtherPlaceForTheOneBefore) {
  const MovingSceneOptions options = Cloudy(31);
  MovingScene scene(options, HandHeld(20.0, options.focal_px, 32));
  MovingScene elsewhere(Cloudy(33), HandHeld(20.0, options.focal_px, 34));
  CameraMotion motion(options.width_px, options.height_px);
  int trusted_elsewhere = 0, trusted_back = 0;
  double worst_px = 0.0;
  for (int i = 0; i < 200; ++i) {
    const double time_s = i / 30.0;
    cv::Mat picture = i >= 60 && i < 140 ? elsewhere.Picture(time_s) : scene.Picture(time_s);
    if (i >= 50 && i < 60) picture.setTo(12);
    const FrameMotion told = motion.Look(picture, time_s);
    if (i >= 60 && i < 140 && told.trusted) ++trusted_elsewhere;
    if (i < 150 || !told.trusted) continue;
    ++trusted_back;
    const Eigen::Vector2d middle_px(640.0, 360.0);
    worst_px = std::max(worst_px,
                        (told.ReferencePxFromFrame(middle_px) - scene.ReferencePxFromFrame(time_s, middle_px)).norm());
  }
  EXPECT_EQ(trusted_elsewhere, 0);
  EXPECT_GE(trusted_back, 45);
  EXPECT_LT(worst_px, 1.0);
}

TEST(CameraMotion, TexturelessPicturesAreNotTrusted) {
  cv::RNG random(5);
  CameraMotion motion(640, 360);
  for (int i = 0; i < 20; ++i) {
    cv::Mat picture(360, 640, CV_8UC1);
    random.fill(picture, cv::RNG::NORMAL, 120.0, 1.5);
    const FrameMotion told = motion.Look(picture, i / 30.0);
    EXPECT_EQ(told.trusted, i == 0) << i;
    EXPECT_TRUE(told.reference_from_frame.allFinite());
  }
}

TEST(CameraMotion, SurvivesSmallPicturesAndDarkFrames) {
  for (const int side : {1, 7, 16, 33, 64}) {
    CameraMotion motion(side, side);
    cv::Mat picture(side, side, CV_8UC1);
    cv::randu(picture, 0, 255);
    for (int i = 0; i < 4; ++i) EXPECT_TRUE(motion.Look(picture, i / 30.0).reference_from_frame.allFinite()) << side;
  }
  const MovingSceneOptions options = Cloudy(19);
  MovingScene scene(options, HandHeld(20.0, options.focal_px, 29));
  CameraMotion motion(options.width_px, options.height_px);
  FrameMotion told;
  for (int i = 0; i < 40; ++i) {
    cv::Mat picture = scene.Picture(i / 30.0);
    const bool dark = i >= 20 && i < 24;
    if (dark) picture.setTo(12);
    told = motion.Look(picture, i / 30.0);
    EXPECT_EQ(told.trusted, !dark) << i;
  }
}

}  // namespace
}  // namespace loftline
