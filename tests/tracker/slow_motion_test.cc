// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <memory>

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

}  // namespace
}  // namespace loftline::test
