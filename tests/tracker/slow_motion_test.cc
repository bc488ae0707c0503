// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/slow_motion.h"

#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <memory>
#include <string>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr double kSlower = 8.0;  // a power of two, so that times come back to the last bit

ClipScene OneRocket() {
  ClipScene scene;
  scene.seed = 7;
  scene.quick = {Shown(std::make_shared<const Rocket>(RocketScene{}))};
  return scene;
}

// The same pictures with time stamps as a phone stores slow motion.
class SlowedFrames : public FrameSource {
 public:
  explicit SlowedFrames(const ClipScene& scene) : frames_(scene), info_(frames_.info()) {
    info_.capture_rate_hz = info_.stored_rate_hz;
    info_.stored_rate_hz /= kSlower;
  }
  void LoseTheTag() { info_.capture_rate_hz.reset(); }
  const ClipInfo& info() const override { return info_; }
  Expected<std::optional<Frame>> Read() override {
    Expected<std::optional<Frame>> frame = frames_.Read();
    if (frame && frame->has_value()) (*frame)->time_s *= kSlower;
    return frame;
  }

 private:
  SyntheticFrames frames_;
  ClipInfo info_;
};

void ExpectTheSamePlaces(const Expected<ClipTrack>& slowed, const ClipTrack& usual) {
  ASSERT_TRUE(slowed) << slowed.error().message;
  ASSERT_EQ(slowed->track.points.size(), usual.track.points.size());
  for (std::size_t i = 0; i < usual.track.points.size(); ++i) {
    const TrackPoint &slow = slowed->track.points[i], &point = usual.track.points[i];
    EXPECT_EQ(slow.frame, point.frame);
    EXPECT_DOUBLE_EQ(slow.time_s, kSlower * point.time_s) << "stored time, not real time";
    ASSERT_EQ(slow.state, point.state);
    if (point.state != PointState::kHidden) {
      EXPECT_LT((slow.at_px - point.at_px).norm(), 1e-9);
    }
  }
}

TEST(SlowMotion, IsFollowedAtTheSpeedThatItHad) {
  SyntheticFrames usual(OneRocket());
  const Expected<ClipTrack> expected = TrackClip(usual, {});
  ASSERT_TRUE(expected);

  SlowedFrames tagged(OneRocket());
  ExpectTheSamePlaces(TrackClip(tagged, {}), *expected);

  SlowedFrames untagged(OneRocket());
  untagged.LoseTheTag();
  TrackOptions options;
  options.capture_rate_hz = usual.info().stored_rate_hz;
  ExpectTheSamePlaces(TrackClip(untagged, options), *expected);
}

TEST(SlowMotion, ThatNobodyToldOfIsRefusedWithTheRateToGive) {
  SlowedFrames untold(OneRocket());
  untold.LoseTheTag();
  const Expected<ClipTrack> refused = TrackClip(untold, {});
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().kind, ErrorKind::kRefused);
  EXPECT_EQ(refused.error().code, "time-base-suspect");
  EXPECT_NE(refused.error().message.find("about 64 times too slowly"), std::string::npos) << refused.error().message;
  EXPECT_NE(refused.error().advice.find("--capture-rate \"60 Hz\""), std::string::npos) << refused.error().advice;
}

// A person who marks places on an untold slow-motion clip is told the same.
TEST(SlowMotion, ThatNobodyToldOfIsRefusedThroughMarksToo) {
  SyntheticFrames usual(OneRocket());
  const Expected<ClipTrack> expected = TrackClip(usual, {});
  ASSERT_TRUE(expected);
  TrackOptions options;
  for (const std::size_t i : {std::size_t{10}, std::size_t{30}, std::size_t{50}}) {
    const TrackPoint& point = expected->track.points.at(i);
    options.marked.push_back({point.frame, point.at_px});
  }
  SlowedFrames untold(OneRocket());
  untold.LoseTheTag();
  const Expected<ClipTrack> refused = TrackClip(untold, options);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "time-base-suspect");
}

// A flight seen over 2 s: it rises and falls by 1/8 of g t^2, and its body is 0.25 m long.
PathLooks Rocket025(double slowing) {
  PathLooks looks;
  looks.points = 120;
  looks.seen_share = 1.0;
  looks.span_s = 2.0 * slowing;
  looks.gravity_px_per_s2 = 500.0 / (slowing * slowing);
  looks.gravity_std_px_per_s2 = looks.gravity_px_per_s2 / 200.0;
  looks.sag_px = 250.0;
  looks.fastest_px_per_s = 800.0 / slowing;
  looks.rms_px = 1.0;
  looks.body_m = 0.25 * slowing * slowing;
  return looks;
}

TEST(LikelyCaptureRate, IsTheOneAtWhichTheBodyIsARocket) {
  EXPECT_EQ(LikelyCaptureRateHz(Rocket025(8), 30), 240.0);
  EXPECT_EQ(LikelyCaptureRateHz(Rocket025(8), 29.97), 240.0);
  EXPECT_EQ(LikelyCaptureRateHz(Rocket025(4), 30), 120.0);
  EXPECT_EQ(LikelyCaptureRateHz(Rocket025(4), 60), 240.0);
  EXPECT_EQ(LikelyCaptureRateHz(Rocket025(16), 60), 960.0);
  for (const double length_ratio : {0.6, 1.8}) {  // 0.15 and 0.45 m
    PathLooks looks = Rocket025(8);
    looks.body_m *= length_ratio;
    EXPECT_EQ(LikelyCaptureRateHz(looks, 30), 240.0) << length_ratio;
  }
}

TEST(LikelyCaptureRate, IsNoneForWhatHardlyKeepsToItsPath) {
  const auto none = [](void (*spoil)(PathLooks*)) {
    PathLooks looks = Rocket025(8);
    spoil(&looks);
    return !LikelyCaptureRateHz(looks, 30);
  };
  EXPECT_TRUE(none([](PathLooks* looks) { looks->points = 20; }));
  EXPECT_TRUE(none([](PathLooks* looks) { looks->seen_share = 0.6; }));
  EXPECT_TRUE(none([](PathLooks* looks) { looks->rms_px = 10.0; }));
  EXPECT_TRUE(none([](PathLooks* looks) { looks->fastest_px_per_s *= 4.0; })) << "a bird's glide is even";
  EXPECT_TRUE(none([](PathLooks* looks) { looks->gravity_std_px_per_s2 *= 20.0; }));
  EXPECT_TRUE(none([](PathLooks* looks) { looks->body_m *= 1e5; })) << "too long at any rate";
  EXPECT_FALSE(LikelyCaptureRateHz(Rocket025(8), 0.0)) << "the rate is known";
}

}  // namespace
}  // namespace loftline::test
