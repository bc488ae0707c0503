// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Flights with a gap: out at the picture's top and back, and behind something. One flight, and nothing invented.
#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

enum class Shows { kWhole, kPartly, kNot };

// Where the rocket's tip and tail are on a frame.
std::pair<Eigen::Vector2d, Eigen::Vector2d> EndsOn(const Rocket& rocket, const ClipScene& scene, double time_s) {
  const Rocket::Pose pose = WhereSeen(rocket, scene, time_s).pose;
  const Eigen::Vector2d half = 0.5 * rocket.scene().length_px * pose.axis;
  return {pose.at_px + half, pose.at_px - half};
}

// What was found where: frames that show the whole rocket in flight, and points where it does not show at all.
struct GapCheck {
  int whole = 0, found = 0, not_shown = 0, hidden = 0;
  std::vector<int> invented;
  int before = 0, after = 0;  // found before and after the first frame that does not show it
};

template <typename ShowsOn>
GapCheck CheckGap(const Track& track, const Rocket& rocket, const ClipScene& scene, const ShowsOn& shows_on) {
  GapCheck check;
  bool gone = false;
  for (int frame = 0; frame < scene.frames; ++frame) {
    const double time_s = scene.first_s + frame / scene.rate_hz;
    const SeenMiddle seen = WhereSeen(rocket, scene, time_s);
    if (seen.seen_s < rocket.scene().launch_s + 0.02 || seen.seen_s > rocket.landing_s() - 0.02) continue;
    const auto point = std::find_if(
        track.points.begin(), track.points.end(), [frame](const TrackPoint& each) { return each.frame == frame; });
    const bool listed = point != track.points.end();
    const bool flight = listed && point->state == PointState::kFlight;
    const Shows shows = shows_on(EndsOn(rocket, scene, time_s));
    gone = gone || shows == Shows::kNot;
    if (shows == Shows::kNot) {
      ++check.not_shown;
      check.hidden += listed && point->state == PointState::kHidden ? 1 : 0;
      if (flight) check.invented.push_back(frame);
    } else if (shows == Shows::kWhole) {
      ++check.whole;
      const bool found =
          listed && (flight || point->state == PointState::kLaunch) && (point->at_px - seen.pose.at_px).norm() < 4.0;
      check.found += found ? 1 : 0;
      (gone ? check.after : check.before) += found ? 1 : 0;
    }
  }
  return check;
}

class OutAtTheTop : public testing::TestWithParam<double> {};

TEST_P(OutAtTheTop, IsOneFlight) {
  const double away_s = GetParam();
  RocketScene rocket_scene;
  rocket_scene.drag_per_px = 0.0;
  const double above_px = rocket_scene.gravity_px_per_s2 * away_s * away_s / 8.0;
  rocket_scene.velocity_px_per_s = {
      150.0, -std::sqrt(2.0 * rocket_scene.gravity_px_per_s2 * (rocket_scene.mouth_px.y() + above_px))};
  ClipScene scene;
  scene.frames = 220;
  const Stage stage = StageWith(rocket_scene, scene);
  SyntheticFrames frames(stage.scene);
  const Expected<ClipTrack> result = TrackClip(frames, {});
  ASSERT_TRUE(result) << Describe(result.error());
  const GapCheck check =
      CheckGap(result->track, *stage.rocket, stage.scene, [](const std::pair<Eigen::Vector2d, Eigen::Vector2d>& ends) {
        const double high_px = std::min(ends.first.y(), ends.second.y()),
                     low_px = std::max(ends.first.y(), ends.second.y());
        return high_px > 1.0 ? Shows::kWhole : low_px < -3.0 ? Shows::kNot : Shows::kPartly;
      });
  ASSERT_GE(check.not_shown, 0.7 * away_s * scene.rate_hz - 6) << "the scene does not do what it is for";
  EXPECT_GE(check.found, 0.95 * check.whole)
      << check.before << " before, " << check.after << " after, of " << check.whole;
  EXPECT_GE(check.before, 20);
  EXPECT_GE(check.after, 20);
  EXPECT_EQ(check.hidden, check.not_shown);
  EXPECT_THAT(check.invented, testing::IsEmpty());
  EXPECT_EQ(result->choice.settled_by, SettledBy::kNoOther) << "its two parts are no rivals";
}

INSTANTIATE_TEST_SUITE_P(Gaps, OutAtTheTop, testing::Values(0.3, 0.6, 1.0, 1.5), [](const auto& away) {
  return "Milliseconds" + std::to_string(static_cast<int>(std::lround(1e3 * away.param)));
});

// Behind a board that hides the whole rocket for so many frames.
class BehindABoard : public testing::TestWithParam<int> {};

TEST_P(BehindABoard, IsOneFlight) {
  const RocketScene rocket_scene;
  ClipScene scene;
  scene.seed = SeedOfTest();
  const auto rocket = std::make_shared<const Rocket>(rocket_scene);
  const double left_px = 240.0;
  // The body, 18 px long, lies within it for that time.
  const double right_px = left_px + GetParam() * 230.0 / scene.rate_hz + 14.0;
  scene.quick = {
      Shown(rocket), [left_px, right_px](double) {
        return std::vector<Shape>{{{{left_px, 40.0}, {right_px, 40.0}, {right_px, 190.0}, {left_px, 190.0}}, 70.0}};
      }};
  SyntheticFrames frames(scene);
  const Expected<ClipTrack> result = TrackClip(frames, {});
  ASSERT_TRUE(result) << Describe(result.error());
  const auto shows_on = [left_px, right_px](const std::pair<Eigen::Vector2d, Eigen::Vector2d>& ends) {
    const double first_px = std::min(ends.first.x(), ends.second.x()),
                 last_px = std::max(ends.first.x(), ends.second.x());
    if (last_px < left_px - 2.0 || first_px > right_px + 2.0) return Shows::kWhole;
    return first_px > left_px + 2.0 && last_px < right_px - 2.0 ? Shows::kNot : Shows::kPartly;
  };
  const GapCheck check = CheckGap(result->track, *rocket, scene, shows_on);
  ASSERT_GE(check.not_shown, GetParam() - 3) << "the scene does not do what it is for";
  EXPECT_GE(check.found, 0.97 * check.whole)
      << check.before << " before, " << check.after << " after, of " << check.whole;
  EXPECT_GE(check.before, 20);
  EXPECT_GE(check.after, 20);
  EXPECT_EQ(check.hidden, check.not_shown);
  EXPECT_THAT(check.invented, testing::IsEmpty());
}

INSTANTIATE_TEST_SUITE_P(Gaps, BehindABoard, testing::Values(4, 8, 12), [](const auto& frames) {
  return "Frames" + std::to_string(frames.param);
});

}  // namespace
}  // namespace loftline::test
