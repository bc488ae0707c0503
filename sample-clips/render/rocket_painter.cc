// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/rocket_painter.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::render {
namespace {

constexpr double kStep_px = 0.3;  // of motion between two moments of one exposure

struct Look2d {  // what the painter needs of one moment: the body in pixels
  Eigen::Vector2d tail_px, along, across;
  double length_px = 0, radius_px = 0, shoulder_px = 0, shown_px = 0;
  double fin_chord_px = 0, fin_span_px = 0, spin_rad = 0;
};

struct Sample {
  float cover = 0, light = 0, blue = 0, red = 0;
  void Over(const Paint& paint, double shade, double coverage) {
    const auto c = static_cast<float>(coverage);
    cover += c * (1 - cover);
    light += c * (paint.light * static_cast<float>(shade) - light);
    blue += c * (paint.blue - blue);
    red += c * (paint.red - red);
  }
};

class Painter {
 public:
  Painter(const Scene& scene, const CameraMotion& camera, const BodyMotion& motion)
      : scene_(scene),
        camera_(camera),
        motion_(motion),
        body_(PaintFromRgb(scene.rocket.body_rgb)),
        nose_(PaintFromRgb(scene.rocket.nose_rgb)),
        fin_(PaintFromRgb(scene.rocket.fin_rgb)) {}

  Look2d LookAt(double time_s) const {
    const Rocket& rocket = scene_.rocket;
    const BodyPose pose = motion_.At(time_s);
    const Eigen::Vector3d half = 0.5 * rocket.length_m * pose.axis;
    const Lens lens = camera_.At(time_s);
    const double px_per_m = lens.PxPerMAt(pose.middle_m);
    Look2d look;
    look.tail_px = lens.PxFromWorld(pose.middle_m - half);
    const Eigen::Vector2d span = lens.PxFromWorld(pose.middle_m + half) - look.tail_px;
    look.length_px = std::max(span.norm(), 1e-6);
    look.along = span / look.length_px;
    look.across = {-look.along.y(), look.along.x()};
    look.radius_px = 0.5 * rocket.diameter_m * px_per_m;
    look.shoulder_px = look.length_px * (1 - rocket.nose_share);
    look.shown_px = look.length_px * (1 - BuriedShare(pose));
    look.fin_chord_px = rocket.fin_chord_m / rocket.length_m * look.length_px;
    look.fin_span_px = rocket.fin_span_m * px_per_m;
    const double landed_s = motion_.landing_s();
    look.spin_rad =
        0.6 + 2 * std::numbers::pi * rocket.spin_hz * std::min(std::max(time_s, scene_.flight.launch_s), landed_s);
    return look;
  }

  double BuriedShare(const BodyPose& pose) const {
    const double ground_m = -scene_.flight.height_above_landing_m;
    const double rise_m = scene_.rocket.length_m * pose.axis.y();
    if (pose.state == BodyState::kWaiting || pose.state == BodyState::kPush || rise_m >= 0) return 0.0;
    const double tip_m = pose.middle_m.y() + 0.5 * rise_m;
    return std::clamp((ground_m - tip_m) / -rise_m, 0.0, 1.0);
  }

  // A pixel is an area: the mean of a few places in it. One place alone would leave the centroid up to 0.05 px off.
  Sample Over(const Look2d& look, const Eigen::Vector2d& px) const {
    Sample mean;
    const double reach = look.length_px + look.radius_px + look.fin_span_px + 2 * scene_.look.blur_px + 1;
    if ((px - look.tail_px).cwiseAbs().maxCoeff() > reach) return mean;
    constexpr double kPlaces[] = {-1.0 / 3, 0.0, 1.0 / 3};
    constexpr auto kShare = 1.0f / 9;
    for (const double x : kPlaces) {
      for (const double y : kPlaces) {
        const Sample sample = At(look, px + Eigen::Vector2d(x, y));
        mean.cover += kShare * sample.cover;
        mean.light += kShare * sample.light;
        mean.blue += kShare * sample.blue;
        mean.red += kShare * sample.red;
      }
    }
    return mean;
  }

 private:
  Sample At(const Look2d& look, const Eigen::Vector2d& px) const {
    Sample sample;
    const double edge = scene_.look.blur_px;
    const Eigen::Vector2d from_tail = px - look.tail_px;
    const double u = from_tail.dot(look.along), v = from_tail.dot(look.across);
    const double widest = look.radius_px + look.fin_span_px + edge;
    if (std::abs(v) > widest || u < -edge || u > look.shown_px + edge) return sample;
    if (u < look.fin_chord_px + edge) LayFins(look, u, v, sample);
    // Through the blur a pixel sees the body between u - edge / 2 and u + edge / 2, as far as there is body.
    const double seen_from = std::max(u - edge / 2, 0.0), seen_to = std::min(u + edge / 2, look.shown_px);
    const double into_nose =
        (look.length_px - 0.5 * (seen_from + seen_to)) / std::max(look.length_px - look.shoulder_px, 1e-6);
    const double radius =
        into_nose >= 1 ? look.radius_px : look.radius_px * std::pow(std::max(into_nose, 0.0), scene_.rocket.nose_power);
    const double coverage =
        StripCoverage(v, radius, edge) * StripCoverage(u - look.shown_px / 2, look.shown_px / 2, edge);
    if (coverage > 0) sample.Over(into_nose >= 1 ? body_ : nose_, Shade(look, v / std::max(radius, 0.3)), coverage);
    return sample;
  }

  // Light on a round tube: N is the way across it, -1 .. 1.
  double Shade(const Look2d& look, double n) const {
    n = std::clamp(n, -1.0, 1.0);
    const double sun_across = scene_.look.sun_right * look.across.x() - scene_.look.sun_up * look.across.y();
    const double towards_sun = n * sun_across + std::sqrt(1 - n * n) * scene_.look.sun_front;
    return 0.5 + 0.55 * std::max(0.0, towards_sun);
  }

  void LayFins(const Look2d& look, double u, double v, Sample& sample) const {
    const double edge = scene_.look.blur_px;
    const double along = StripCoverage(u - look.fin_chord_px / 2, look.fin_chord_px / 2, edge);
    if (along <= 0) return;
    for (int fin = 0; fin < scene_.rocket.fins; ++fin) {
      const double turn = look.spin_rad + 2 * std::numbers::pi * fin / scene_.rocket.fins;
      const double swept = 1 - 0.55 * std::clamp(u / look.fin_chord_px, 0.0, 1.0);
      const double half = 0.5 * std::abs(std::cos(turn)) * look.fin_span_px * swept;
      const double side = std::cos(turn) >= 0 ? 1.0 : -1.0;
      const double coverage = along * StripCoverage(v - side * (look.radius_px + half), half, edge);
      if (coverage > 0) sample.Over(fin_, 0.6 + 0.4 * std::abs(std::sin(turn - 0.7)), coverage);
    }
  }

  const Scene& scene_;
  const CameraMotion& camera_;
  const BodyMotion& motion_;
  Paint body_, nose_, fin_;
};

struct Extent {
  Eigen::Vector2d low = Eigen::Vector2d::Constant(1e9), high = Eigen::Vector2d::Constant(-1e9);
  double longest_step_px = 0.0;  // of the middle over an eighth of the time covered
};

Extent ExtentOver(const Painter& painter, double from_s, double to_s) {
  constexpr int kParts = 8;
  Extent extent;
  Eigen::Vector2d before = Eigen::Vector2d::Zero();
  for (int i = 0; i <= kParts; ++i) {
    const Look2d look = painter.LookAt(from_s + (to_s - from_s) * i / kParts);
    const Eigen::Vector2d tip = look.tail_px + look.length_px * look.along;
    const double around = look.radius_px + look.fin_span_px + 3;
    extent.low = extent.low.cwiseMin(look.tail_px.cwiseMin(tip).array().matrix() - Eigen::Vector2d::Constant(around));
    extent.high = extent.high.cwiseMax(look.tail_px.cwiseMax(tip).array().matrix() + Eigen::Vector2d::Constant(around));
    if (i > 0) extent.longest_step_px = std::max(extent.longest_step_px, (look.tail_px - before).norm());
    before = look.tail_px;
  }
  return extent;
}

}  // namespace

RocketPatch PaintRocket(
    const Scene& scene, const CameraMotion& camera, const BodyMotion& motion, const Shutter& shutter, double frame_s) {
  RocketPatch patch;
  const Painter painter(scene, camera, motion);
  const double half_s = 0.5 * shutter.exposure_s();
  const double from_s = frame_s - half_s, to_s = frame_s + shutter.readout_s() + half_s;
  const Extent extent = ExtentOver(painter, from_s, to_s);
  if (!extent.low.allFinite() || !extent.high.allFinite()) return patch;
  patch.x0 = static_cast<int>(std::clamp(extent.low.x(), 0.0, 1.0 * scene.picture.width_px));
  patch.y0 = static_cast<int>(std::clamp(extent.low.y(), 0.0, 1.0 * scene.picture.height_px));
  patch.width = static_cast<int>(std::clamp(extent.high.x() + 1, 0.0, 1.0 * scene.picture.width_px)) - patch.x0;
  patch.height = static_cast<int>(std::clamp(extent.high.y() + 1, 0.0, 1.0 * scene.picture.height_px)) - patch.y0;
  if (patch.width <= 0 || patch.height <= 0) return patch;
  const auto count = static_cast<std::size_t>(patch.width) * static_cast<std::size_t>(patch.height);
  for (auto* plane : {&patch.cover, &patch.light, &patch.blue, &patch.red}) plane->assign(count, 0.0f);

  const double speed_px_s = extent.longest_step_px * 8 / (to_s - from_s);
  const int moments = std::clamp(static_cast<int>(std::ceil(speed_px_s * shutter.exposure_s() / kStep_px)), 3, 400);
  const auto weight = 1.0f / static_cast<float>(moments);
  const bool columns = shutter.lines_are_columns();
  const int lines = columns ? patch.width : patch.height, across = columns ? patch.height : patch.width;
  for (int line = 0; line < lines; ++line) {
    const Eigen::Vector2d on_line = columns ? Eigen::Vector2d(patch.x0 + line, 0) : Eigen::Vector2d(0, patch.y0 + line);
    const double line_s = shutter.TimeOf(frame_s, on_line);
    for (int moment = 0; moment < moments; ++moment) {
      const Look2d look = painter.LookAt(line_s + ((moment + 0.5) / moments - 0.5) * shutter.exposure_s());
      for (int k = 0; k < across; ++k) {
        const int x = columns ? line : k, y = columns ? k : line;
        const Sample sample = painter.Over(look, {patch.x0 + x, patch.y0 + y});
        if (sample.cover <= 0) continue;
        const auto i =
            static_cast<std::size_t>(y) * static_cast<std::size_t>(patch.width) + static_cast<std::size_t>(x);
        patch.cover[i] += weight * sample.cover;
        patch.light[i] += weight * sample.light;
        patch.blue[i] += weight * sample.blue;
        patch.red[i] += weight * sample.red;
      }
    }
  }
  patch.buried_share = painter.BuriedShare(motion.At(frame_s + 0.5 * shutter.readout_s()));
  return patch;
}

void LayPatch(Canvas& canvas, const RocketPatch& patch) {
  for (int y = 0; y < patch.height; ++y) {
    for (int x = 0; x < patch.width; ++x) {
      const auto i = static_cast<std::size_t>(y) * static_cast<std::size_t>(patch.width) + static_cast<std::size_t>(x);
      const float cover = patch.cover[i];
      if (cover <= 0) continue;
      float& light = canvas.Light(patch.x0 + x, patch.y0 + y);
      light += patch.light[i] - cover * light;
      const std::size_t chroma = canvas.ChromaIndex(patch.x0 + x, patch.y0 + y);
      canvas.blue[chroma] += 0.25f * (patch.blue[i] - cover * canvas.blue[chroma]);
      canvas.red[chroma] += 0.25f * (patch.red[i] - cover * canvas.red[chroma]);
    }
  }
}

double HiddenShare(const RocketPatch& patch, const std::vector<float>& front, int canvas_width_px) {
  double shown = 0.0, hidden = 0.0;
  for (int y = 0; y < patch.height; ++y) {
    for (int x = 0; x < patch.width; ++x) {
      const float cover =
          patch
              .cover[static_cast<std::size_t>(y) * static_cast<std::size_t>(patch.width) + static_cast<std::size_t>(x)];
      if (cover <= 0) continue;
      shown += cover;
      if (!front.empty()) {
        hidden += cover * front[static_cast<std::size_t>(patch.y0 + y) * static_cast<std::size_t>(canvas_width_px) +
                                static_cast<std::size_t>(patch.x0 + x)];
      }
    }
  }
  return shown > 0 ? hidden / shown : 1.0;
}

}  // namespace loftline::render
