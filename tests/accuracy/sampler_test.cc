// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/camera_motion.h"
#include "sample-clips/render/interval_scenes.h"
#include "sample-clips/render/render_clip.h"
#include "sample-clips/render/scene_sampler.h"
#include "sample-clips/render/tracker_scenes.h"
#include "sample-clips/render/trajectory.h"

#include <gtest/gtest.h>

namespace loftline::render {
namespace {

bool InPicture(const Scene& scene, const Eigen::Vector3d& at_m) {
  const Eigen::Vector2d px = Lens(scene.camera, scene.picture).PxFromWorld(at_m);
  return px.x() > 0 && px.y() > 0 && px.x() < scene.picture.width_px - 1 && px.y() < scene.picture.height_px - 1;
}

class SampledScene : public testing::TestWithParam<std::string> {};

TEST_P(SampledScene, ShowsWhatItsKindPromises) {
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const Expected<Scene> scene = SampleScene(GetParam(), seed);
    ASSERT_TRUE(scene) << scene.error().message;
    const Trajectory flight(LaunchOf(*scene));
    const bool launch_only = GetParam().find("launch-only") != std::string::npos;
    EXPECT_TRUE(InPicture(*scene, {0, 0, 0}));
    EXPECT_EQ(InPicture(*scene, flight.At(flight.time_to_apogee_s()).at_m), !launch_only);
    EXPECT_EQ(InPicture(*scene, flight.At(flight.flight_time_s()).at_m), !launch_only);
    EXPECT_LT(scene->timing.readout_s, 1.0 / scene->timing.capture_rate_hz);
    const double ground_m = -scene->flight.height_above_landing_m;
    for (const double x_m : {scene->survey.pole_left_m, scene->survey.pole_right_m}) {
      EXPECT_TRUE(InPicture(*scene, {x_m, ground_m + scene->survey.pole_height_m, scene->survey.pole_z_m}));
    }
  }
}

TEST_P(SampledScene, IsDrawnFromItsSeedAlone) {
  EXPECT_EQ(SceneAsJson(*SampleScene(GetParam(), 5)), SceneAsJson(*SampleScene(GetParam(), 5)));
  EXPECT_NE(SceneAsJson(*SampleScene(GetParam(), 5)), SceneAsJson(*SampleScene(GetParam(), 6)));
}

std::string NameOfCase(const testing::TestParamInfo<std::string>& tested) {
  std::string name = tested.param;
  for (char& c : name) c = c == '-' ? '_' : c;
  return name;
}

INSTANTIATE_TEST_SUITE_P(Kinds, SampledScene, testing::ValuesIn(SampleConditions()), NameOfCase);

INSTANTIATE_TEST_SUITE_P(IntervalKinds, SampledScene, testing::ValuesIn(IntervalConditions()), NameOfCase);

TEST(IntervalScenes, ShowWhatTheirKindPromises) {
  int roughly_noted = 0, before = 0, head_winds = 0;
  for (std::uint64_t seed = 1; seed <= 8; ++seed) {
    const Scene tilted = *SampleScene("interval-tilt-roll", seed);
    EXPECT_GE(tilted.camera.tilt_deg, 8);
    EXPECT_LE(tilted.camera.tilt_deg, 20);
    EXPECT_GE(std::abs(tilted.camera.roll_deg), 3);
    EXPECT_LE(std::abs(tilted.camera.roll_deg), 8);
    EXPECT_FALSE(tilted.survey.plumb_mark);
    roughly_noted += tilted.survey.tilt_std_deg > 0;
    const double pole_z_m = SampleScene("interval-depth-offset", seed)->survey.pole_z_m;
    EXPECT_GE(std::abs(pole_z_m), 1.0);
    EXPECT_LE(std::abs(pole_z_m), 2.5);
    before += pole_z_m > 0;
    const Scene windy = *SampleScene("interval-wind", seed);
    EXPECT_LE(std::abs(windy.air.wind_along_m_s), 4.0);
    EXPECT_GE(windy.survey.wind_std_m_s, 0.3);
    EXPECT_LE(windy.survey.wind_std_m_s, 0.8);
    head_winds += windy.air.wind_along_m_s < 0;
    EXPECT_EQ(SampleScene("interval-fast-rate", seed)->timing.capture_rate_hz, 240);
  }
  for (const int count : {roughly_noted, before, head_winds}) {  // each of two ways comes up
    EXPECT_GT(count, 0);
    EXPECT_LT(count, 8);
  }
}

// Kinds of one name elsewhere keep their clips, and these do not show the same launches.
TEST(IntervalScenes, HaveAStreamOfTheirOwn) {
  EXPECT_NE(SampleScene("interval-left", 5)->flight.speed_m_s, SampleScene("left", 5)->flight.speed_m_s);
  EXPECT_EQ(SampleScene("interval-left", 5)->coding.preset, "veryfast");
  EXPECT_EQ(SampleScene("left", 5)->coding.preset, "fast");
}

// Scenes must not change under those who state figures for their seeds: values of the first release of the renderer.
TEST(SampleScene, GivesTheSameSceneAsEver) {
  const Scene whole_arc = *SampleScene("whole-arc", 7), evening = *SampleScene("evening", 7);
  EXPECT_EQ(whole_arc.seed, 61796680910667u);
  EXPECT_NEAR(whole_arc.survey.mark_std_px, 0.5379330068311468, 1e-9);
  EXPECT_EQ(evening.seed, 180022808357979u);
  EXPECT_NEAR(evening.coding.bitrate_mbit_s, 17.661524159388403, 1e-9);
}

class TrackerScene : public testing::TestWithParam<std::string> {};

TEST_P(TrackerScene, IsDrawnFromItsSeedAlone) {
  EXPECT_EQ(SceneAsJson(*SampleScene(GetParam(), 5)), SceneAsJson(*SampleScene(GetParam(), 5)));
  EXPECT_NE(SceneAsJson(*SampleScene(GetParam(), 5)), SceneAsJson(*SampleScene(GetParam(), 6)));
}

// What holds of every kind: launcher and poles are in the first frame, and the shutter can do what is asked of it.
TEST_P(TrackerScene, ShowsLauncherAndPolesAtFirst) {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    const Expected<Scene> scene = SampleScene(GetParam(), seed);
    ASSERT_TRUE(scene) << scene.error().message;
    EXPECT_TRUE(InPicture(*scene, {0, 0, 0}));
    for (const double x_m : {scene->survey.pole_left_m, scene->survey.pole_right_m}) {
      const double mark_m = scene->survey.pole_height_m - scene->flight.height_above_landing_m;
      EXPECT_TRUE(InPicture(*scene, {x_m, mark_m, scene->survey.pole_z_m}));
    }
    EXPECT_LT(scene->timing.exposure_s, 1.0 / scene->timing.capture_rate_hz);
  }
}

INSTANTIATE_TEST_SUITE_P(Kinds, TrackerScene, testing::ValuesIn(TrackerConditions()), NameOfCase);

// Share of the flight whose middle is in the picture, and the longest way that it goes within an exposure.
struct FlightSeen {
  double share = 0.0, longest_blur_px = 0.0;
};

FlightSeen SeenOf(const Scene& scene) {
  const BodyMotion body(scene);
  const CameraMotion camera(scene, body);
  FlightSeen seen;
  const int steps = static_cast<int>((body.landing_s() - scene.flight.launch_s) / 0.01);
  for (int i = 0; i < steps; ++i) {
    const double at_s = scene.flight.launch_s + 0.01 * i;
    const Eigen::Vector2d px = camera.At(at_s).PxFromWorld(body.At(at_s).middle_m);
    const double later_s = at_s + scene.timing.exposure_s;
    const Eigen::Vector2d later_px = camera.At(later_s).PxFromWorld(body.At(later_s).middle_m);
    const bool inside =
        px.minCoeff() >= 0 && px.x() < scene.picture.width_px - 1 && px.y() < scene.picture.height_px - 1;
    if (inside) seen.share += 1.0 / steps;
    seen.longest_blur_px = std::max(seen.longest_blur_px, (later_px - px).norm());
  }
  return seen;
}

TEST(TrackerScenes, ShowWhatTheirKindPromises) {
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    EXPECT_GT(SeenOf(*SampleScene("panning", seed)).share, 0.9);
    EXPECT_GT(SeenOf(*SampleScene("hand-held", seed)).share, 0.97);
    const double blur_px = SeenOf(*SampleScene("streak", seed)).longest_blur_px;
    EXPECT_GT(blur_px, 10);
    EXPECT_LT(blur_px, 66);  // up to 60 px at the launch's distance, a little more where the path comes nearer
    const Scene none = *SampleScene("no-rocket", seed);
    EXPECT_GT(none.flight.launch_s, none.timing.duration_s);
  }
  const double over_the_top = SeenOf(*SampleScene("occluded", 5)).share;  // 5 modulo 3 is 2
  EXPECT_LT(over_the_top, 0.98);
  EXPECT_GT(over_the_top, 0.7);
}

// The picture that a low-contrast scene makes, without noise: rocket against sky in grey levels, at its middle.
TEST(TrackerScenes, LowContrastIsSevenToNineGreyLevels) {
  Scene scene = *SampleScene("low-contrast", 3);
  scene.look.read_noise = scene.look.shot_noise = scene.look.sharpening = scene.look.exposure_drift = 0.0;
  scene.rocket.diameter_m *= 4;  // so wide that lens blur leaves its middle alone
  const Trajectory flight(LaunchOf(scene));
  scene.timing.capture_rate_hz = 30;  // no more frames than needed
  scene.timing.duration_s = scene.flight.launch_s + 0.6 * flight.flight_time_s();
  const auto near_apogee = [&](const TruthPoint& truth) {
    return truth.state == BodyState::kFlight && truth.row_time_s > scene.flight.launch_s + 0.4 * flight.flight_time_s();
  };
  double sum = 0.0;
  int count = 0;
  ASSERT_TRUE(RenderFrames(scene, [&](const RenderedFrame& frame) -> Status {
    if (!near_apogee(frame.truth)) return Done{};
    const auto luma = [&](const Eigen::Vector2d& px) {
      return static_cast<double>(
          frame.picture.luma[static_cast<std::size_t>(std::lround(px.y())) * static_cast<std::size_t>(1920) +
                             static_cast<std::size_t>(std::lround(px.x()))]);
    };
    const Eigen::Vector2d along = (frame.truth.tip_px - frame.truth.tail_px).normalized();
    const Eigen::Vector2d across(-along.y(), along.x());
    double body = 0.0;
    for (int i = -3; i <= 3; ++i) body += luma(frame.truth.middle_px + i * across) / 7;
    sum += body - 0.5 * (luma(frame.truth.middle_px + 30 * across) + luma(frame.truth.middle_px - 30 * across));
    ++count;
    return Done{};
  }));
  ASSERT_GT(count, 5);
  EXPECT_NEAR(std::abs(sum / count), 8.0, 3.0);  // one grey level of the paint, and the clouds' own relief
}

TEST(SampleScene, RefusesAnUnknownKind) {
  EXPECT_EQ(SampleScene("underwater", 1).error().code, "bad-value");
}

}  // namespace
}  // namespace loftline::render
