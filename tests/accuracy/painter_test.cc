// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// What is painted lies where the truth says it does.
#include "sample-clips/render/render_clip.h"
#include "sample-clips/render/rocket_painter.h"

#include <gtest/gtest.h>

namespace loftline::render {
namespace {

// A body whose picture is symmetrical about its middle: no fins, no taper, no wobble.
Scene PlainScene(int rotation_deg, double exposure_s) {
  Scene scene;
  scene.picture = rotation_deg % 180 ? Picture{1080, 1920, rotation_deg} : Picture{1920, 1080, rotation_deg};
  if (rotation_deg % 180) scene.camera.horizontal_view_deg = 42;
  scene.camera.x_m = 6;
  scene.camera.distance_m = 20;
  scene.camera.tilt_deg = 0;  // else the nearer end looks larger, and the centroid is not quite the middle
  scene.rocket.fins = 0;
  scene.rocket.nose_share = 1e-6;
  scene.flight.wobble_deg = 0;
  scene.timing.exposure_s = exposure_s;
  scene.timing.readout_s = 0.014;
  return scene;
}

struct Blob {
  Eigen::Vector2d centroid_px = Eigen::Vector2d::Zero();
  double area_px2 = 0;
};

Blob BlobOf(const RocketPatch& patch) {
  Blob blob;
  for (int y = 0; y < patch.height; ++y) {
    for (int x = 0; x < patch.width; ++x) {
      const int index = y * patch.width + x;
      const double cover = patch.cover[static_cast<std::size_t>(index)];
      blob.area_px2 += cover;
      blob.centroid_px += cover * Eigen::Vector2d(patch.x0 + x, patch.y0 + y);
    }
  }
  blob.centroid_px /= blob.area_px2;
  return blob;
}

class Painted : public testing::TestWithParam<std::tuple<int, double, double>> {};

// 0.02 px: the sum over pixels of a blurred strip is good to about 0.01 px for a body 1.5 px wide.
TEST_P(Painted, CentroidIsTheTruth) {
  const auto [rotation_deg, exposure_s, shake_deg] = GetParam();
  Scene scene = PlainScene(rotation_deg, exposure_s);
  scene.handling.shake_deg = shake_deg;
  const BodyMotion motion(scene);
  const CameraMotion camera(scene, motion);
  const Shutter shutter(scene.timing, scene.picture);
  int compared = 0;
  const double first_s = scene.flight.launch_s + 0.11;
  const int frames = static_cast<int>((motion.landing_s() - 0.1 - first_s) / 0.0577);
  for (int i = 0; i <= frames; ++i) {
    const double frame_s = first_s + 0.0577 * i;
    const TruthPoint truth = TruthAt({0, frame_s}, camera, motion, shutter, scene);
    if (truth.middle_px.x() < 80 || truth.middle_px.y() < 80 || truth.middle_px.x() > scene.picture.width_px - 80 ||
        truth.middle_px.y() > scene.picture.height_px - 80)
      continue;
    const Blob blob = BlobOf(PaintRocket(scene, camera, motion, shutter, frame_s));
    EXPECT_LT((blob.centroid_px - truth.middle_px).norm(), 0.02) << frame_s;
    EXPECT_GT(blob.area_px2, 20);
    ++compared;
  }
  EXPECT_GE(compared, 6);
}

INSTANTIATE_TEST_SUITE_P(EveryTurnAndExposure,
                         Painted,
                         testing::Values(std::tuple(0, 0.0005, 0.0),
                                         std::tuple(0, 0.011, 0.0),
                                         std::tuple(90, 0.0005, 0.0),
                                         std::tuple(90, 0.011, 0.0),
                                         std::tuple(180, 0.004, 0.0),
                                         std::tuple(270, 0.004, 0.0),
                                         std::tuple(0, 0.0005, 0.15),
                                         std::tuple(0, 0.004, 0.15),
                                         std::tuple(90, 0.004, 0.15)));

TEST(PaintedBody, CoversItsOwnArea) {
  Scene scene = PlainScene(0, 1e-6);
  scene.timing.readout_s = 1e-6;  // no skew
  const Lens lens(scene.camera, scene.picture);
  const BodyMotion motion(scene);
  const double frame_s = scene.flight.launch_s + 0.6;
  const BodyPose pose = motion.At(frame_s);
  const double px_per_m = lens.PxPerMAt(pose.middle_m);
  const double area = scene.rocket.length_m * scene.rocket.diameter_m * px_per_m * px_per_m;
  const Blob blob =
      BlobOf(PaintRocket(scene, CameraMotion(lens), motion, Shutter(scene.timing, scene.picture), frame_s));
  EXPECT_NEAR(blob.area_px2 / area, 1.0, 0.03);  // off the axis of view things look larger by a per cent or two
}

TEST(PaintedBody, StreaksAsLongAsItsMotion) {
  const auto length = [](double exposure_s) {
    const Scene scene = PlainScene(0, exposure_s);
    const Lens lens(scene.camera, scene.picture);
    const BodyMotion motion(scene);
    const RocketPatch patch = PaintRocket(
        scene, CameraMotion(lens), motion, Shutter(scene.timing, scene.picture), scene.flight.launch_s + 0.1);
    return BlobOf(patch).area_px2;
  };
  EXPECT_NEAR(length(0.010) / length(0.0005), 1.0, 0.01) << "a streak spreads the same light";
}

TEST(Strip, CoverageIntegratesToItsWidth) {
  for (const double half : {0.2, 0.5, 0.9, 3.0}) {
    double sum = 0;
    for (int i = -6000; i < 6000; ++i) sum += 0.001 * StripCoverage(0.001 * i, half, 1.3);
    EXPECT_NEAR(sum, 2 * half, 1e-3) << half;
  }
}

// Each thing of its own kind changes the picture, and what stands before the flight hides it.
TEST(RenderedFrames, ShowEveryKindOfFigure) {
  Scene scene;
  scene.picture = {480, 270, 0};
  scene.timing.duration_s = 0.05;
  scene.timing.capture_rate_hz = 30;
  scene.look.read_noise = scene.look.shot_noise = 0.0;
  const auto first_luma = [](const Scene& shown) {
    std::vector<std::uint8_t> luma;
    EXPECT_TRUE(RenderFrames(shown, [&](const RenderedFrame& frame) -> Status {
      if (luma.empty()) luma = frame.picture.luma;
      return Done{};
    }));
    return luma;
  };
  const std::vector<std::uint8_t> empty = first_luma(scene);
  for (const char* kind : {"jumper", "stick", "leaf", "shadow", "post", "tree", "ball", "bird"}) {
    Figure figure;
    figure.kind = kind;
    figure.x_m = 6;
    figure.y_m = 2;
    figure.z_m = -2;
    Scene shown = scene;
    shown.figures = {figure};
    const std::vector<std::uint8_t> luma = first_luma(shown);
    int changed = 0;
    for (std::size_t i = 0; i < luma.size(); ++i) changed += luma[i] != empty[i] ? 1 : 0;
    EXPECT_GT(changed, 5) << kind;
    EXPECT_LT(changed, 20000) << kind;
  }
}

TEST(RenderedFrames, PostAndTreeHideTheRocketForAWhile) {
  for (const char* kind : {"post", "tree"}) {
    Scene scene;
    scene.picture = {480, 270, 0};
    Figure figure;
    figure.kind = kind;
    figure.x_m = 5;
    figure.z_m = 8;
    figure.size_m = 9;
    figure.width_m = 0.4;
    scene.figures = {figure};
    const auto points = RenderFrames(scene, [](const RenderedFrame&) -> Status { return Done{}; });
    ASSERT_TRUE(points);
    int hidden = 0, changes = 0;
    bool before = true;
    for (const TruthPoint& point : *points) {
      const bool inside = point.middle_px.x() >= 0 && point.middle_px.y() >= 0 && point.middle_px.x() <= 479;
      if (point.state != BodyState::kFlight || !inside || point.middle_px.y() > 250) continue;
      if (point.hidden_share > 0.9) ++hidden;
      if (point.visible != before) ++changes;
      before = point.visible;
    }
    EXPECT_GT(hidden, 2) << kind;
    EXPECT_EQ(changes, 2) << kind << ": hidden once";
  }
}

TEST(RenderedFrames, NoRocketIsNeverVisible) {
  Scene scene;
  scene.picture = {320, 180, 0};
  scene.timing.duration_s = 0.2;
  scene.has_rocket = false;
  const auto points = RenderFrames(scene, [](const RenderedFrame&) -> Status { return Done{}; });
  ASSERT_TRUE(points);
  for (const TruthPoint& point : *points) EXPECT_FALSE(point.visible);
}

TEST(RenderedFrames, HandHidesTheRocket) {
  Scene scene;
  scene.picture = {480, 270, 0};
  scene.timing.capture_rate_hz = 30;
  Figure hand;
  hand.kind = "hand";
  hand.x_m = 0.45;
  hand.size_m = 4.0;
  hand.start_s = scene.flight.launch_s + 0.7;
  scene.figures = {hand};
  const auto points = RenderFrames(scene, [](const RenderedFrame&) -> Status { return Done{}; });
  ASSERT_TRUE(points);
  int hidden = 0, shown = 0;
  for (const TruthPoint& point : *points) {
    if (point.state != BodyState::kFlight) continue;
    (point.visible ? shown : hidden) += 1;
  }
  EXPECT_GT(hidden, 3);
  EXPECT_GT(shown, 10);
}

}  // namespace
}  // namespace loftline::render
