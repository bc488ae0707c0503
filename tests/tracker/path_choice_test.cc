// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/path_choice.h"

#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <memory>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

PathChoice ChoiceOfScores(double chosen, double runner_up) {
  PathChoice choice;
  choice.chosen.score = chosen;
  choice.runner_up = SeenPath{};
  choice.runner_up->score = runner_up;
  return choice;
}

TEST(PathChoice, MarginIsTheDifferenceOverTheLargerScore) {
  EXPECT_DOUBLE_EQ(PathChoice{}.Margin(), 1.0) << "nothing else flies";
  EXPECT_DOUBLE_EQ(ChoiceOfScores(800.0, 200.0).Margin(), 0.75);
  EXPECT_DOUBLE_EQ(ChoiceOfScores(500.0, 500.0).Margin(), 0.0);
  EXPECT_DOUBLE_EQ(ChoiceOfScores(200.0, 800.0).Margin(), -0.75);
}

TEST(PathChoice, IsAFindingOnlyWhereAPersonSettledIt) {
  PathChoice choice = ChoiceOfScores(500.0, 480.0);
  for (const SettledBy by : {SettledBy::kNoOther, SettledBy::kMargin, SettledBy::kNothing}) {
    choice.settled_by = by;
    EXPECT_FALSE(FindingOf(choice)) << SettledByName(by);
  }
  for (const SettledBy by : {SettledBy::kLaunchPoint, SettledBy::kMarks}) {
    choice.settled_by = by;
    const std::optional<Finding> finding = FindingOf(choice);
    ASSERT_TRUE(finding) << SettledByName(by);
    EXPECT_EQ(finding->code, "path-ambiguous");
    EXPECT_EQ(finding->severity, Severity::kNote);
    EXPECT_THAT(finding->message, testing::HasSubstr("score 480"));
    EXPECT_THAT(finding->message, testing::HasSubstr("score 500"));
    EXPECT_FALSE(finding->advice.empty());
  }
}

// The advice fits what the person has done already.
TEST(PathChoice, RefusalSaysWhatElseCanBeDone) {
  PathChoice choice = ChoiceOfScores(500.0, 480.0);
  const auto advice = [&choice](bool launch_marked, bool places_marked) {
    const Error error = PathAmbiguous(choice, launch_marked, places_marked);
    EXPECT_EQ(error.code, "path-ambiguous");
    EXPECT_EQ(error.kind, ErrorKind::kRefused);
    EXPECT_THAT(error.message, testing::HasSubstr("4 %"));
    return error.advice;
  };
  EXPECT_THAT(advice(false, false), testing::StartsWith("Mark the launch point"));
  EXPECT_THAT(advice(true, false), testing::StartsWith("Neither begins at the marked launch point"));
  EXPECT_THAT(advice(false, true), testing::StartsWith("Both go through the places given"));
  choice.chosen.from_launch = choice.runner_up->from_launch = true;
  EXPECT_THAT(advice(true, false), testing::StartsWith("Both begin at the launch point"));
}

// A rocket that soon leaves the picture, and a ball that is thrown right across it elsewhere: alone, the ball flies
// better. The launch point says which one is meant.
TEST(PathChoice, LaunchPointOutweighsALongerFlight) {
  RocketScene rocket;
  rocket.mouth_px = {90.0, 130.0};
  rocket.ground_px = 138.0;
  rocket.velocity_px_per_s = {220.0, -480.0};
  RocketScene ball;
  ball.launch_s = 1.1;
  ball.mouth_px = {590.0, 320.0};
  ball.velocity_px_per_s = {-330.0, -480.0};
  ball.length_px = 9.0;
  ball.diameter_px = 9.0;
  ball.fins = false;
  ClipScene scene;
  scene.seed = SeedOfTest();
  const auto first = std::make_shared<const Rocket>(rocket);
  const auto second = std::make_shared<const Rocket>(ball);
  scene.frames = 200;
  // The rocket is shown on its way up only, as if it came down outside.
  scene.quick = {[shown = Shown(first)](double time_s) { return time_s < 0.95 ? shown(time_s) : std::vector<Shape>{}; },
                 Shown(second)};
  TrackOptions options;
  {
    SyntheticFrames frames(scene);
    const Expected<ClipTrack> result = TrackClip(frames, options);
    ASSERT_TRUE(result) << Describe(result.error());
    ASSERT_GT(CheckTrack(result->track, *second, scene).FoundShare(), 0.9) << "this test shows nothing";
  }
  options.launch_px = rocket.mouth_px;
  SyntheticFrames frames(scene);
  const Expected<ClipTrack> result = TrackClip(frames, options);
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_EQ(result->choice.settled_by, SettledBy::kLaunchPoint);
  EXPECT_LT(result->choice.Margin(), 0.0);
  for (const TrackPoint& point : result->track.points) {
    if (point.state != PointState::kFlight) continue;
    EXPECT_LT((point.at_px - WhereSeen(*first, scene, point.time_s).pose.at_px).norm(), 4.0) << point.frame;
  }
}

// Two rockets from one tube: the launch point tells nothing.
TEST(PathChoice, TwoFlightsFromTheLaunchPointStayAmbiguous) {
  RocketScene second;
  second.launch_s = 3.4;
  second.velocity_px_per_s = {300.0, -540.0};
  ClipScene scene;
  scene.frames = 345;
  scene.seed = SeedOfTest();
  const auto first = std::make_shared<const Rocket>(RocketScene{});
  // Taken away before the second one is put on the tube.
  scene.quick = {[shown = Shown(first)](double time_s) { return time_s < 2.9 ? shown(time_s) : std::vector<Shape>{}; },
                 [shown = Shown(std::make_shared<const Rocket>(second))](double time_s) {
                   return time_s > 3.0 ? shown(time_s) : std::vector<Shape>{};
                 }};
  TrackOptions options;
  options.launch_px = second.mouth_px;
  SyntheticFrames frames(scene);
  const Expected<ClipTrack> result = TrackClip(frames, options);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "path-ambiguous");
  EXPECT_THAT(result.error().advice, testing::StartsWith("Both begin at the launch point"));
}

}  // namespace
}  // namespace loftline::test
