// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/moving_scene.h"
#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include <Eigen/Geometry>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

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

// Shown only from FROM_S to TO_S: before a tree for the rest.
Actor ShownBetween(const std::shared_ptr<const Rocket>& rocket, double from_s, double to_s) {
  return [shown = Shown(rocket), from_s, to_s](double time_s) {
    return time_s >= from_s && time_s <= to_s ? shown(time_s) : std::vector<Shape>{};
  };
}

// Two alike rockets, of which the one that is meant shows for a part of its flight only, and the mark lies far outside
// that part.
struct LateMarkCase {
  const char* name;
  double from_s, to_s;
  int mark_frame;
};
class LateMarks : public testing::TestWithParam<LateMarkCase> {};

TEST_P(LateMarks, ArePartOfTheFlightThatLeadsToThem) {
  const LateMarkCase& wanted = GetParam();
  RocketScene other;
  other.launch_s = 0.7;
  other.mouth_px = {560.0, 310.0};
  other.velocity_px_per_s = {-320.0, -510.0};
  ClipScene scene;
  scene.seed = SeedOfTest();
  const auto meant = std::make_shared<const Rocket>(RocketScene{});
  scene.quick = {ShownBetween(meant, wanted.from_s, wanted.to_s), Shown(std::make_shared<const Rocket>(other))};
  const MarkedPlace mark = MarkOf(*meant, scene, wanted.mark_frame, {1.0, -1.0});
  const Expected<ClipTrack> result = TrackMarked(scene, {mark});
  ASSERT_TRUE(result) << Describe(result.error());
  const TrackPoint* point = PointOn(result->track, mark.frame);
  ASSERT_NE(point, nullptr);
  EXPECT_EQ(point->at_px, mark.at_px);
  EXPECT_EQ(point->state, PointState::kFlight);
  int flight = 0, hidden = 0;
  for (const TrackPoint& each : result->track.points) {
    const SeenMiddle seen = WhereSeen(*meant, scene, each.time_s);
    if (each.state == PointState::kHidden) {
      hidden += seen.seen_s < wanted.from_s || seen.seen_s > wanted.to_s ? 1 : 0;
    } else if (each.state == PointState::kFlight && each.frame != mark.frame) {
      ++flight;
      EXPECT_LT((each.at_px - seen.pose.at_px).norm(), 4.0) << each.frame;
      EXPECT_TRUE(seen.seen_s > wanted.from_s - 0.01 && seen.seen_s < wanted.to_s + 0.01) << each.frame << " invented";
    }
  }
  EXPECT_GE(flight, 0.85 * (wanted.to_s - wanted.from_s) * scene.rate_hz);
  EXPECT_GE(hidden, 25) << "the frames between the mark and the part that was seen";
}

INSTANTIATE_TEST_SUITE_P(MarkedPlaces,
                         LateMarks,
                         testing::Values(LateMarkCase{"HalfASecondAfter", 0.65, 1.45, 107},
                                         LateMarkCase{"HalfASecondBefore", 1.5, 2.3, 42}),
                         [](const auto& each) { return std::string(each.param.name); });

// A small and slow flight first, then eight better ones.
TEST(MarkedPlaces, AreKeptAmongManyBetterFlights) {
  ClipScene scene;
  scene.seed = SeedOfTest();
  RocketScene poor;
  poor.mouth_px = {320.0, 300.0};
  poor.velocity_px_per_s = {60.0, -230.0};
  const auto meant = std::make_shared<const Rocket>(poor);
  scene.quick = {Shown(meant)};
  for (int i = 0; i < 8; ++i) {
    RocketScene better;
    better.launch_s = 2.2 + 1.2 * i;
    better.mouth_px = {i % 2 == 0 ? 70.0 : 560.0, 310.0};
    better.velocity_px_per_s = {i % 2 == 0 ? 330.0 : -300.0, -520.0 - 4.0 * i};
    // Lies still for a moment, then somebody fetches it.
    const auto rocket = std::make_shared<const Rocket>(better);
    scene.quick.push_back(ShownBetween(rocket, better.launch_s - 1.0, rocket->landing_s() + 0.1));
  }
  scene.frames = 800;
  const MarkedPlace mark = MarkOf(*meant, scene, 45, {0.5, 0.5});
  const Expected<ClipTrack> result = TrackMarked(scene, {mark});
  ASSERT_TRUE(result) << Describe(result.error());
  EXPECT_EQ(result->choice.settled_by, SettledBy::kMarks);
  ASSERT_TRUE(result->choice.runner_up);
  EXPECT_LT(result->choice.Margin(), 0.0);
  const TrackCheck check = CheckTrack(result->track, *meant, scene);
  EXPECT_GE(check.FoundShare(), 0.9) << check.found << " of " << check.visible;
  EXPECT_EQ(PointOn(result->track, mark.frame)->at_px, mark.at_px);
}

// A hand-held clip of a bright stick that flies, with a frame that shows nothing but noise: nobody knows where the
// camera pointed then.
class ShakenFrames : public FrameSource {
 public:
  static constexpr int kBlind = 70, kFrames = 120;
  static constexpr double kRateHz = 60.0;

  explicit ShakenFrames(std::uint64_t seed) : scene_(Options(seed), HandHeld(7.0, 560.0, seed)), random_(seed) {
    info_.width_px = scene_.options().width_px;
    info_.height_px = scene_.options().height_px;
    info_.stored_rate_hz = kRateHz;
    info_.frames = kFrames;
  }
  const ClipInfo& info() const override { return info_; }
  static Eigen::Vector2d InReference(double time_s) {
    const double t = time_s - 0.4;
    return {100.0 + 300.0 * t, 300.0 - 480.0 * t + 240.0 * t * t};
  }
  Eigen::Vector2d InFrame(int frame) const { return ToFrame(frame / kRateHz, InReference(frame / kRateHz)); }

  Expected<std::optional<Frame>> Read() override {
    if (next_ == kFrames) return std::optional<Frame>();
    Frame frame;
    frame.index = next_;
    frame.time_s = next_ / kRateHz;
    luma_ = scene_.Picture(frame.time_s).clone();
    if (next_ == kBlind) random_.fill(luma_, cv::RNG::UNIFORM, 0, 256);
    if (frame.time_s > 0.4 && next_ != kBlind) DrawStick(frame.time_s);
    frame.luma = luma_;
    ++next_;
    return std::optional<Frame>(frame);
  }

 private:
  static MovingSceneOptions Options(std::uint64_t seed) {
    MovingSceneOptions options;
    options.width_px = 640;
    options.height_px = 360;
    options.focal_px = 560.0;
    options.seed = seed;
    return options;
  }
  Eigen::Vector2d ToFrame(double time_s, const Eigen::Vector2d& reference_px) const {
    const Eigen::Matrix3d frame_from_reference = scene_.ReferenceFromRow(time_s, 0.0).inverse();
    return (frame_from_reference * reference_px.homogeneous()).hnormalized();
  }
  void DrawStick(double time_s) {
    constexpr int kShift = 4;  // sixteenths of a pixel
    const Eigen::Vector2d along = (InReference(time_s + 0.001) - InReference(time_s - 0.001)).normalized();
    const auto corner = [&](double share) {
      const Eigen::Vector2d at_px = ToFrame(time_s, InReference(time_s) + share * along);
      return cv::Point(cvRound(at_px.x() * (1 << kShift)), cvRound(at_px.y() * (1 << kShift)));
    };
    cv::line(luma_, corner(-9.0), corner(9.0), cv::Scalar(255), 4, cv::LINE_AA, kShift);
  }

  MovingScene scene_;
  cv::RNG random_;
  ClipInfo info_;
  cv::Mat luma_;
  int next_ = 0;
};

TEST(MarkedPlaces, AreKeptOnAFrameWhoseCameraPoseIsUnknown) {
  ShakenFrames frames(SeedOfTest());
  TrackOptions options;
  options.marked = {{ShakenFrames::kBlind, frames.InFrame(ShakenFrames::kBlind) + Eigen::Vector2d(1.0, -0.5)}};
  const Expected<ClipTrack> result = TrackClip(frames, options);
  ASSERT_TRUE(result) << Describe(result.error());
  ASSERT_EQ(result->track.poses.size(), static_cast<std::size_t>(ShakenFrames::kFrames));
  ASSERT_FALSE(result->track.poses[ShakenFrames::kBlind].reference_from_frame) << "this test shows nothing";
  const TrackPoint* point = PointOn(result->track, ShakenFrames::kBlind);
  ASSERT_NE(point, nullptr);
  EXPECT_EQ(point->at_px, options.marked.front().at_px);
  EXPECT_EQ(point->cov_px2, Eigen::Matrix2d::Identity());
  EXPECT_EQ(point->state, PointState::kFlight);
  EXPECT_NEAR(point->time_s, ShakenFrames::kBlind / ShakenFrames::kRateHz, 1e-9);
  int near = 0;
  for (const TrackPoint& each : result->track.points) {
    if (each.state != PointState::kFlight || each.frame == ShakenFrames::kBlind) continue;
    near += (each.at_px - frames.InFrame(each.frame)).norm() < 2.0 ? 1 : 0;
  }
  EXPECT_GE(near, 70);  // of 95 in flight
}

}  // namespace
}  // namespace loftline::test
