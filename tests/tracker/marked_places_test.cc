// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <memory>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

Expected<ClipTrack> TrackMarked(const ClipScene& scene, const std::vector<MarkedPlace>& marked) {
  SyntheticFrames frames(scene);
  TrackOptions options;
  options.marked = marked;
  return TrackClip(frames, options);
}

MarkedPlace MarkOf(const Rocket& rocket, const ClipScene& scene, int frame, const Eigen::Vector2d& off_px) {
  return {frame, WhereSeen(rocket, scene, scene.first_s + frame / scene.rate_hz).pose.at_px + off_px};
}

const TrackPoint* PointOn(const Track& track, int frame) {
  const auto point = std::find_if(
      track.points.begin(), track.points.end(), [frame](const TrackPoint& each) { return each.frame == frame; });
  return point != track.points.end() ? &*point : nullptr;
}

TEST(MarkedPlaces, AreKeptExactly) {
  const Stage stage = StageWith({});
  const std::vector<MarkedPlace> marked{MarkOf(*stage.rocket, stage.scene, 90, {1.5, -0.75}),
                                        MarkOf(*stage.rocket, stage.scene, 60, {-1.0, 1.25})};
  const Expected<ClipTrack> result = TrackMarked(stage.scene, marked);
  ASSERT_TRUE(result) << Describe(result.error());
  for (const MarkedPlace& mark : marked) {
    const TrackPoint* point = PointOn(result->track, mark.frame);
    ASSERT_NE(point, nullptr) << mark.frame;
    EXPECT_EQ(point->at_px, mark.at_px);
    EXPECT_EQ(point->cov_px2, Eigen::Matrix2d::Identity());
    EXPECT_EQ(point->state, PointState::kFlight);
    EXPECT_NEAR(point->time_s, stage.scene.first_s + mark.frame / stage.scene.rate_hz, 1e-5);
  }
  const TrackCheck check = CheckTrack(result->track, *stage.rocket, stage.scene);
  EXPECT_GE(check.FoundShare(), 0.95);
}

TEST(MarkedPlaces, ChooseBetweenTwoFlights) {
  RocketScene other;
  other.launch_s = 0.7;
  other.mouth_px = {560.0, 310.0};
  other.velocity_px_per_s = {-320.0, -510.0};
  Stage stage = StageWith({});
  const auto second = std::make_shared<const Rocket>(other);
  stage.scene.quick.push_back(Shown(second));
  ASSERT_FALSE(TrackMarked(stage.scene, {})) << "the two are not alike enough for this test";
  for (const std::shared_ptr<const Rocket>& wanted : {stage.rocket, second}) {
    const Expected<ClipTrack> result =
        TrackMarked(stage.scene, {MarkOf(*wanted, stage.scene, 55, Eigen::Vector2d::Zero())});
    ASSERT_TRUE(result) << Describe(result.error());
    const TrackCheck check = CheckTrack(result->track, *wanted, stage.scene);
    EXPECT_GE(check.FoundShare(), 0.9) << check.found << " of " << check.visible;
  }
}

TEST(MarkedPlaces, RefuseWhereNothingFliesThrough) {
  const Stage stage = StageWith({});
  const Expected<ClipTrack> result = TrackMarked(stage.scene, {MarkOf(*stage.rocket, stage.scene, 75, {0.0, 90.0})});
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().kind, ErrorKind::kRefused);
  EXPECT_EQ(result.error().code, "no-flight-through-marks");
}

// Two grey levels before a texture of twenty: nobody finds it unaided.
TEST(MarkedPlaces, LeadToARocketThatIsHardlySeen) {
  RocketScene faint;
  faint.body_level = 133.0;
  faint.fin_level = 133.0;
  ClipScene scene;
  scene.texture = 2.0;
  scene.noise = 2.0;
  const Stage stage = StageWith(faint, scene);
  std::vector<MarkedPlace> marked;
  for (const int frame : {50, 65, 80, 95, 110, 125}) {
    marked.push_back(MarkOf(*stage.rocket, stage.scene, frame, {0.5, -0.5}));
  }
  const Expected<ClipTrack> result = TrackMarked(stage.scene, marked);
  ASSERT_TRUE(result) << Describe(result.error());
  for (const MarkedPlace& mark : marked) {
    ASSERT_NE(PointOn(result->track, mark.frame), nullptr);
    EXPECT_EQ(PointOn(result->track, mark.frame)->at_px, mark.at_px);
  }
}

}  // namespace
}  // namespace loftline::test
