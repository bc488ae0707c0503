// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// What TrackClip does beside measuring: choosing between flights, refusing, stopping, keeping pictures.
#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <fstream>
#include <set>
#include <stop_token>
#include <string>
#include <vector>

#include <Eigen/LU>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

Expected<ClipTrack> TrackScene(const ClipScene& scene, const TrackOptions& options = {}) {
  SyntheticFrames frames(scene);
  return TrackClip(frames, options);
}

std::string CodeOf(const Expected<ClipTrack>& result) {
  return result ? "tracked" : result.error().code;
}

void ExpectRefused(const Expected<ClipTrack>& result, const char* code) {
  ASSERT_EQ(CodeOf(result), code);
  EXPECT_EQ(result.error().kind, ErrorKind::kRefused);
  EXPECT_FALSE(result.error().message.empty());
  EXPECT_FALSE(result.error().advice.empty());
}

ClipScene EmptyScene() {
  ClipScene scene;
  scene.seed = SeedOfTest();
  return scene;
}

const TrackPoint* PointOn(const Track& track, int frame) {
  const auto point =
      std::find_if(track.points.begin(), track.points.end(), [frame](const TrackPoint& p) { return p.frame == frame; });
  return point == track.points.end() ? nullptr : &*point;
}

int FlightPoints(const Track& track) {
  return static_cast<int>(std::count_if(
      track.points.begin(), track.points.end(), [](const TrackPoint& p) { return p.state == PointState::kFlight; }));
}

TEST(TrackOutcomes, MirroredPictureGivesMirroredTrack) {
  Stage stage = StageWith({});
  const Expected<ClipTrack> straight = TrackScene(stage.scene);
  stage.scene.mirrored = true;
  const Expected<ClipTrack> mirrored = TrackScene(stage.scene);
  ASSERT_TRUE(straight) << Describe(straight.error());
  ASSERT_TRUE(mirrored) << Describe(mirrored.error());
  int compared = 0;
  Eigen::Vector2d sum_px = Eigen::Vector2d::Zero();
  double sum_px2 = 0.0;
  double largest_px = 0.0;
  for (const TrackPoint& point : straight->track.points) {
    const TrackPoint* other = PointOn(mirrored->track, point.frame);
    if (other == nullptr || point.state != PointState::kFlight || other->state != PointState::kFlight) continue;
    ++compared;
    const Eigen::Vector2d turned_px(stage.scene.width_px - 1 - other->at_px.x(), other->at_px.y());
    const Eigen::Vector2d difference_px = turned_px - point.at_px;
    sum_px += difference_px;
    sum_px2 += difference_px.squaredNorm();
    largest_px = std::max(largest_px, difference_px.norm());
  }
  EXPECT_GE(compared, FlightPoints(straight->track) - 2);
  ASSERT_GE(compared, 50);
  EXPECT_LE((sum_px / compared).norm(), 0.02);
  EXPECT_LE(std::sqrt(sum_px2 / compared), 0.05);
  EXPECT_LE(largest_px, 0.2);
}

// Two rockets from two tubes, one after the other.
struct TwoFlights {
  Stage stage;
  RocketScene first, second;
};
TwoFlights TwoGoodFlights() {
  TwoFlights two;
  two.second.launch_s = 3.4;
  two.second.mouth_px = {560.0, 310.0};
  two.second.velocity_px_per_s = {-300.0, -520.0};
  ClipScene scene;
  scene.frames = 345;
  two.stage = StageWith(two.first, scene);
  two.stage.scene.quick.push_back(Shown(std::make_shared<const Rocket>(two.second)));
  return two;
}

TEST(TrackOutcomes, TwoGoodFlightsAreAmbiguous) {
  ExpectRefused(TrackScene(TwoGoodFlights().stage.scene), "path-ambiguous");
}

TEST(TrackOutcomes, MarkedLaunchPointDecides) {
  const TwoFlights two = TwoGoodFlights();
  for (const RocketScene& meant : {two.first, two.second}) {
    TrackOptions options;
    options.launch_px = meant.mouth_px;
    const Expected<ClipTrack> result = TrackScene(two.stage.scene, options);
    ASSERT_TRUE(result) << Describe(result.error());
    const TrackCheck check = CheckTrack(result->track, Rocket(meant), two.stage.scene);
    EXPECT_GE(check.FoundShare(), 0.95) << "launch at " << meant.launch_s << " s";
    EXPECT_THAT(check.outside, testing::IsEmpty());
    ASSERT_TRUE(result->choice.runner_up);
    EXPECT_EQ(result->choice.settled_by, SettledBy::kLaunchPoint);
    EXPECT_LT(result->choice.Margin(), kLeastMargin);
  }
}

// A ball thrown low, elsewhere, that flies half as far as the rocket: it loses without a mark.
TEST(TrackOutcomes, LesserThrowLoses) {
  Stage stage = StageWith({});
  RocketScene ball;
  ball.launch_s = 1.0;
  ball.mouth_px = {500.0, 300.0};
  ball.velocity_px_per_s = {60.0, -190.0};
  ball.length_px = 7.0;
  ball.diameter_px = 7.0;
  ball.fins = false;
  stage.scene.quick.push_back(Shown(std::make_shared<const Rocket>(ball)));
  const Expected<ClipTrack> result = TrackScene(stage.scene);
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_GE(CheckTrack(result->track, *stage.rocket, stage.scene).FoundShare(), 0.95);
  ASSERT_TRUE(result->choice.runner_up);
  EXPECT_EQ(result->choice.settled_by, SettledBy::kMargin);
  EXPECT_GT(result->choice.Margin(), 0.4);
}

TEST(TrackOutcomes, LaunchPointsAreNearTheMark) {
  const Stage stage = StageWith({});
  TrackOptions options;
  options.launch_px = stage.rocket->scene().mouth_px;
  const Expected<ClipTrack> result = TrackScene(stage.scene, options);
  ASSERT_TRUE(result) << Describe(result.error());
  for (const TrackPoint& point : result->track.points) {
    if (point.state == PointState::kHidden) continue;
    const double from_mouth_px = (point.at_px - *options.launch_px).norm();
    if (point.state == PointState::kLaunch) {
      EXPECT_LE(from_mouth_px, 4.0 * stage.rocket->scene().length_px);
    }
    if (from_mouth_px < 0.5 * stage.rocket->scene().length_px && point.time_s < 1.0) {
      EXPECT_NE(point.state, PointState::kFlight) << point.frame;
    }
  }
}

TEST(TrackOutcomes, WalkersAndBirdsAreNoRocket) {
  ClipScene scene = EmptyScene();
  scene.slow = {Walker({420.0, 340.0}, -45.0, 84.0),
                Walker({100.0, 350.0}, 60.0, 96.0),
                Jumper({300.0, 345.0}, 90.0, 0.8, 1.2, 30.0)};
  scene.quick = {Bird({600.0, 50.0}, {-140.0, 8.0}, 9.0),
                 Bird({20.0, 120.0}, {110.0, -14.0}, 7.0),
                 Bird({300.0, 30.0}, {15.0, 60.0}, 8.0)};
  ExpectRefused(TrackScene(scene), "no-rocket");
}

TEST(TrackOutcomes, StillSceneIsNoRocket) {
  ExpectRefused(TrackScene(EmptyScene()), "no-rocket");
}

TEST(TrackOutcomes, FlickeringSceneIsNoRocket) {
  ClipScene scene = EmptyScene();
  scene.flicker = 0.1;
  scene.noise = 6.0;
  ExpectRefused(TrackScene(scene), "no-rocket");
}

TEST(TrackOutcomes, RocketThatNeverLeavesIsNoRocket) {
  RocketScene standing;
  standing.launch_s = 1e6;
  ExpectRefused(TrackScene(StageWith(standing).scene), "no-rocket");
}

TEST(TrackOutcomes, TooFewFramesAreRefused) {
  for (const int frames : {0, 1, 3, 7}) {
    RocketScene rocket;
    rocket.launch_s = 0.2;
    ClipScene scene;
    scene.frames = frames;
    ExpectRefused(TrackScene(StageWith(rocket, scene).scene), "too-few-points");
  }
}

TEST(TrackOutcomes, TinyPicturesAreRefused) {
  for (const int side_px : {1, 7, 16, 40}) {
    ClipScene scene = EmptyScene();
    scene.width_px = scene.height_px = side_px;
    scene.frames = 30;
    ExpectRefused(TrackScene(scene), "no-rocket");
  }
}

TEST(TrackOutcomes, OddPictureSizesAreTracked) {
  ClipScene scene;
  scene.width_px = 637;
  scene.height_px = 363;
  scene.colour = true;
  const Stage stage = StageWith({}, scene);
  TrackOptions options;
  options.keep_pictures = true;
  const Expected<ClipTrack> result = TrackScene(stage.scene, options);
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_GE(CheckTrack(result->track, *stage.rocket, stage.scene).FoundShare(), 0.95);
}

// Fails after some frames, as a damaged file does.
class FailingFrames : public SyntheticFrames {
 public:
  explicit FailingFrames(const ClipScene& scene) : SyntheticFrames(scene) {}
  Expected<std::optional<Frame>> Read() override {
    if (frames_read() >= 12) return Error{.code = "damaged-clip", .message = "The clip ends early."};
    return SyntheticFrames::Read();
  }
};

TEST(TrackOutcomes, SourceErrorsComeThrough) {
  FailingFrames frames(EmptyScene());
  const Expected<ClipTrack> result = TrackClip(frames, {});
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "damaged-clip");
  EXPECT_EQ(result.error().kind, ErrorKind::kInvalidInput);
}

TEST(TrackOutcomes, StopsWhenAsked) {
  std::stop_source stop;
  RunControl control;
  control.stop = stop.get_token();
  int calls = 0;
  control.on_progress = [&](double) {
    if (++calls == 20) stop.request_stop();
  };
  SyntheticFrames frames(EmptyScene());
  const Expected<ClipTrack> result = TrackClip(frames, {}, control);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().kind, ErrorKind::kCancelled);
  EXPECT_EQ(result.error().code, "cancelled");
  EXPECT_EQ(frames.frames_read(), 21) << "20, and one ahead";
}

TEST(TrackOutcomes, ProgressRisesToOne) {
  std::vector<double> told;
  RunControl control;
  control.on_progress = [&told](double fraction) { told.push_back(fraction); };
  const Stage stage = StageWith({});
  SyntheticFrames frames(stage.scene);
  ASSERT_TRUE(TrackClip(frames, {}, control));
  ASSERT_GE(told.size(), 20U);
  EXPECT_GT(told.front(), 0.0);
  EXPECT_LT(told.front(), 0.1);
  EXPECT_TRUE(std::is_sorted(told.begin(), told.end()));
  EXPECT_DOUBLE_EQ(told.back(), 1.0);
}

TEST(TrackOutcomes, SameClipGivesSameTrack) {
  const Stage stage = StageWith({});
  const Expected<ClipTrack> one = TrackScene(stage.scene);
  const Expected<ClipTrack> two = TrackScene(stage.scene);
  ASSERT_TRUE(one && two);
  EXPECT_EQ(TrackAsCsv(one->track), TrackAsCsv(two->track));
}

TEST(TrackOutcomes, PicturesDoNotChangeTheTrack) {
  const Stage stage = StageWith({});
  const Expected<ClipTrack> without = TrackScene(stage.scene);
  TrackOptions options;
  options.keep_pictures = true;
  const Expected<ClipTrack> with = TrackScene(stage.scene, options);
  ASSERT_TRUE(without && with);
  EXPECT_EQ(TrackAsCsv(without->track), TrackAsCsv(with->track));
  EXPECT_FALSE(without->backdrop);
  EXPECT_TRUE(without->cutouts.empty());
}

class KeptPictures : public testing::TestWithParam<bool> {};

TEST_P(KeptPictures, HoldTheSceneAndTheRocket) {
  ClipScene scene;
  scene.colour = GetParam();
  const Stage stage = StageWith({}, scene);
  TrackOptions options;
  options.keep_pictures = true;
  const Expected<ClipTrack> result = TrackScene(stage.scene, options);
  ASSERT_TRUE(result) << Describe(result.error());

  ASSERT_TRUE(result->backdrop);
  const Cutout& backdrop = *result->backdrop;
  EXPECT_EQ(backdrop.top_left_px, cv::Point(0, 0));
  EXPECT_EQ(backdrop.luma.size(), cv::Size(scene.width_px, scene.height_px));
  const TrackPoint* on_backdrop = PointOn(result->track, backdrop.frame);
  EXPECT_TRUE(on_backdrop == nullptr || on_backdrop->state != PointState::kFlight) << "the rocket flies on it";
  const cv::Size half((scene.width_px + 1) / 2, (scene.height_px + 1) / 2);
  EXPECT_EQ(backdrop.chroma_blue.size(), scene.colour ? half : cv::Size());
  EXPECT_EQ(backdrop.chroma_red.size(), scene.colour ? half : cv::Size());

  std::set<int> flight_frames;
  for (const TrackPoint& point : result->track.points) {
    if (point.state == PointState::kFlight) flight_frames.insert(point.frame);
  }
  // Frames on which the rocket was found only by the whole path have no cut-out; they are few.
  std::vector<int> cutout_frames;
  for (const Cutout& cutout : result->cutouts) {
    EXPECT_TRUE(flight_frames.contains(cutout.frame)) << cutout.frame;
    EXPECT_TRUE(cutout_frames.empty() || cutout.frame > cutout_frames.back()) << cutout.frame;
    cutout_frames.push_back(cutout.frame);
  }
  EXPECT_GE(cutout_frames.size(), 0.95 * flight_frames.size());

  const cv::Rect picture(0, 0, scene.width_px, scene.height_px);
  for (const Cutout& cutout : result->cutouts) {
    const cv::Rect area(cutout.top_left_px, cutout.luma.size());
    ASSERT_FALSE(area.empty());
    EXPECT_EQ(area & picture, area);
    EXPECT_EQ(area.x % 2, 0);
    EXPECT_EQ(area.y % 2, 0);
    EXPECT_LE(area.width, 80);
    EXPECT_LE(area.height, 80);
    EXPECT_EQ(cutout.chroma_blue.size(),
              scene.colour ? cv::Size((area.width + 1) / 2, (area.height + 1) / 2) : cv::Size());
    const TrackPoint& point = *PointOn(result->track, cutout.frame);
    EXPECT_TRUE(area.contains(cv::Point(cvRound(point.at_px.x()), cvRound(point.at_px.y())))) << cutout.frame;
    // The rocket is the brightest thing there; an empty piece of scene would not reach this.
    double brightest = 0.0;
    cv::minMaxLoc(cutout.luma, nullptr, &brightest);
    EXPECT_GE(brightest, 190.0) << cutout.frame;
  }
}

INSTANTIATE_TEST_SUITE_P(TrackClip, KeptPictures, testing::Bool(), [](const testing::TestParamInfo<bool>& colour) {
  return colour.param ? "Colour" : "Grey";
});

// Resident memory of this process in bytes: the second number of /proc/self/statm, in pages (proc(5)).
double ResidentBytes() {
  std::ifstream statm("/proc/self/statm");
  double all = 0.0;
  double resident = 0.0;
  statm >> all >> resident;
  return resident * 4096.0;
}

// Watches memory while a long clip goes by.
class WatchedFrames : public SyntheticFrames {
 public:
  explicit WatchedFrames(const ClipScene& scene) : SyntheticFrames(scene) {}
  Expected<std::optional<Frame>> Read() override {
    if (frames_read() == 600) early_bytes = ResidentBytes();
    if (frames_read() % 100 == 0) most_bytes = std::max(most_bytes, ResidentBytes());
    return SyntheticFrames::Read();
  }
  double early_bytes = 0.0;
  double most_bytes = 0.0;
};

TEST(TrackOutcomes, MemoryStaysBoundedOverALongClip) {
  ClipScene scene;
  scene.width_px = 320;
  scene.height_px = 180;
  scene.rate_hz = 30.0;
  scene.frames = 3000;
  scene.noise = 3.0;
  scene.slow = {[](double time_s) {
    return Walker({std::fmod(40.0 * time_s, 400.0) - 40.0, 170.0}, 0.0, 40.0)(time_s);
  }};
  RocketScene rocket;
  rocket.launch_s = 90.0;
  rocket.mouth_px = {35.0, 150.0};
  rocket.ground_px = 156.0;
  rocket.velocity_px_per_s = {130.0, -250.0};
  rocket.gravity_px_per_s2 = 260.0;
  rocket.length_px = 11.0;
  rocket.diameter_px = 3.0;
  rocket.fin_span_px = 6.0;
  const Stage stage = StageWith(rocket, scene);
  WatchedFrames frames(stage.scene);
  TrackOptions options;
  options.keep_pictures = true;
  const Expected<ClipTrack> result = TrackClip(frames, options);
  // 3000 such frames are 173 MB.
  EXPECT_LT(frames.most_bytes - frames.early_bytes, 40e6);
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_GE(CheckTrack(result->track, *stage.rocket, stage.scene).FoundShare(), 0.9);
  EXPECT_EQ(result->clip.frames, 3000);
}

}  // namespace
}  // namespace loftline::test
