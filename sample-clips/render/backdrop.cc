// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/backdrop.h"

#include "sample-clips/render/random.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::render {
namespace {

constexpr double kDegPerRad = 180.0 / std::numbers::pi;
constexpr double kHaze_m = 350.0;

std::uint32_t Salt(const Scene& scene, std::uint64_t use) {
  return static_cast<std::uint32_t>(SeedFor(scene.seed, use));
}

Paint Mix(const Paint& a, const Paint& b, double share) {
  const auto s = static_cast<float>(std::clamp(share, 0.0, 1.0));
  return {a.light + s * (b.light - a.light), a.blue + s * (b.blue - a.blue), a.red + s * (b.red - a.red)};
}

// One row of trees, standing close: where it ends towards the sky, and which tree is in front there.
struct TreeLine {
  double top_deg = 0.0;
  int tree = 0;
};

// Crowns of different heights and widths, their outline broken up by boughs and twigs.
TreeLine TreeLineAt(double azimuth_deg, double tallest_deg, double raggedness, std::uint32_t salt) {
  const double step_deg = std::max(0.7, 0.45 * tallest_deg);
  const double bent_deg = azimuth_deg + 0.12 * step_deg * SmoothNoise(1.3 * azimuth_deg / step_deg, 0, salt + 6);
  const int here = static_cast<int>(std::floor(bent_deg / step_deg));
  TreeLine line{0.5 * tallest_deg, here};
  for (int tree = here - 2; tree <= here + 2; ++tree) {
    const double middle_deg = (tree + 0.5 + 0.4 * LatticeValue(tree, 0, salt)) * step_deg;
    const double half_deg = (1.0 + 0.45 * LatticeValue(tree, 1, salt)) * step_deg;
    const double off = (bent_deg - middle_deg) / half_deg;
    if (std::abs(off) >= 1) continue;
    const double height_deg = (0.8 + 0.2 * LatticeValue(tree, 2, salt)) * tallest_deg;
    const double top_deg = height_deg * (0.55 + 0.45 * std::pow(1 - off * off, 0.65));
    if (top_deg > line.top_deg) line = {top_deg, tree};
  }
  const double boughs = SmoothNoise(3.1 * azimuth_deg / step_deg, 0, salt + 7);
  const double twigs = SmoothNoise(9 * azimuth_deg / step_deg, 0, salt + 2);
  line.top_deg += (0.03 + 0.03 * raggedness) * tallest_deg * (boughs + 0.45 * twigs);
  return line;
}

}  // namespace

struct Backdrop::Point {
  Paint paint;
  double cover = 1.0;
};

Backdrop::Point Backdrop::Ground(const Eigen::Vector3d& ray) const {
  const double down_m = lens_.centre_m().y() + scene_.flight.height_above_landing_m;
  const double distance_m = down_m / std::max(-ray.y(), 1e-4);
  const Eigen::Vector3d at_m = lens_.centre_m() + distance_m * ray;
  const double footprint_m = distance_m / focal_px_ / std::max(-ray.y(), 0.02);
  double texture = 1.0;
  const double scales_m[] = {4.0, 1.1, 0.3, 0.09, 0.03};
  const double heights[] = {0.16, 0.14, 0.18, 0.22, 0.24};
  for (int i = 0; i < 5; ++i) {
    const double fade = std::clamp(scales_m[i] / footprint_m - 0.7, 0.0, 1.0);
    if (fade > 0) {
      texture +=
          heights[i] * fade *
          SmoothNoise(
              at_m.x() / scales_m[i], at_m.z() / (scales_m[i] * 1.4), Salt(scene_, 20) + static_cast<unsigned>(i));
    }
  }
  Paint paint = Shaded(PaintFromRgb(scene_.look.ground_rgb), std::max(texture, 0.2));
  const double wet = SmoothNoise(at_m.x() / 6, at_m.z() / 14, Salt(scene_, 26)) +
                     0.4 * SmoothNoise(at_m.x() / 1.5, at_m.z() / 4, Salt(scene_, 27));
  paint = Mix(paint, Shaded(PaintFromRgb(scene_.look.sky_low_rgb), 0.75), 2.5 * (wet - 0.45));
  return {Mix(paint, PaintFromRgb(scene_.look.sky_low_rgb), 0.5 * (1 - std::exp(-distance_m / kHaze_m))), 1.0};
}

Backdrop::Point Backdrop::Trees(double azimuth_deg, double height_deg) const {
  const Look& look = scene_.look;
  const std::uint32_t salt = Salt(scene_, 30);
  const TreeLine line = TreeLineAt(azimuth_deg, look.tree_height_deg, look.tree_gaps, salt);
  const double leaves = 0.45 * SmoothNoise(azimuth_deg * 3, height_deg * 3, salt + 3) +
                        0.55 * SmoothNoise(azimuth_deg * 13, height_deg * 13, salt + 4);
  const double inside = (line.top_deg - height_deg) / std::clamp(0.12 * look.tree_height_deg, 0.2, 0.8);
  Point point;
  point.cover = std::clamp(2.0 * inside + 1.8 * look.tree_gaps * (leaves - 0.35) + 0.4, 0.0, 1.0);
  const double boughs = SmoothNoise(azimuth_deg * 1.5, height_deg * 2.2, salt + 5);
  const double from_above = std::clamp(height_deg / std::max(line.top_deg, 0.1), 0.0, 1.0);
  const double lit =
      (0.55 + 0.5 * from_above) * (1 + 0.7 * leaves + 0.4 * boughs) * (1 + 0.18 * LatticeValue(line.tree, 3, salt));
  point.paint = Mix(Shaded(PaintFromRgb(look.tree_rgb), std::max(lit, 0.12)), PaintFromRgb(look.sky_low_rgb), 0.14);
  return point;
}

double Backdrop::Clouds(double azimuth_deg, double height_deg) const {
  const std::uint32_t salt = Salt(scene_, 40);
  double sum = 0.0, weight = 0.55, scale_deg = 16.0;
  for (unsigned octave = 0; octave < 5; ++octave) {
    sum += weight * SmoothNoise(azimuth_deg / scale_deg, height_deg * 1.8 / scale_deg, salt + octave);
    weight *= 0.55;
    scale_deg *= 0.45;
  }
  const double cover = (sum + scene_.look.clouds - 0.55) * 2.2;
  return std::clamp(cover, 0.0, 1.0);
}

Backdrop::Backdrop(const Scene& scene, const Lens& lens, int width_px, int height_px)
    : scene_(scene), lens_(lens), width_px_(width_px), focal_px_(lens.focal_px()) {
  const int width = width_px, height = height_px;
  sky_width_px_ =
      width + static_cast<int>(std::ceil(std::abs(scene.look.cloud_drift_px_s) * scene.timing.duration_s)) + 3;
  sky_.resize(static_cast<std::size_t>(sky_width_px_) * static_cast<std::size_t>(height));
  const auto count = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
  land_.resize(count);
  land_cover_.resize(count);
  blue_.resize(count / 4);
  red_.resize(count / 4);
  const auto rows = static_cast<std::size_t>(height);
  has_land_.assign(rows, false);
  has_sky_.assign(rows, false);
  sways_.assign(rows, false);
  const Paint high = PaintFromRgb(scene.look.sky_high_rgb), low = PaintFromRgb(scene.look.sky_low_rgb);
  const Paint white{0.80f, 0.0f, 0.0f};
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < sky_width_px_; ++x) {
      const Eigen::Vector3d ray = lens.RayFromPx({x, y});
      const double height_deg = std::asin(ray.y()) * kDegPerRad;
      const double azimuth_deg = std::atan2(ray.x(), -ray.z()) * kDegPerRad;
      Paint sky = Mix(low, high, std::pow(std::max(height_deg, 0.0) / 45.0, 0.6));
      const double cloud = height_deg > -2 ? Clouds(azimuth_deg, height_deg) : 0.0;
      const double shape =
          0.82 + scene.look.cloud_relief * SmoothNoise(azimuth_deg / 5, height_deg / 2.5, Salt(scene, 48));
      sky = Mix(sky, Shaded(white, shape * low.light / 0.65), 0.85 * cloud);
      sky_[static_cast<std::size_t>(y) * static_cast<std::size_t>(sky_width_px_) + static_cast<std::size_t>(x)] =
          sky.light;
      if (x >= width) continue;
      Point land;
      land.cover = 0.0;
      if (height_deg < 0) {
        land = Ground(ray);
      } else if (height_deg < 1.2 * scene.look.tree_height_deg + 1) {
        land = Trees(azimuth_deg, height_deg);
      }
      const auto i = static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
      land_[i] = land.paint.light * static_cast<float>(land.cover);
      land_cover_[i] = static_cast<float>(land.cover);
      const auto row = static_cast<std::size_t>(y);
      if (land.cover > 0) has_land_[row] = true;
      if (land.cover < 1) has_sky_[row] = true;
      if (land.cover > 0 && height_deg > -2.5) sways_[row] = true;
      const Paint shown = Mix(sky, land.paint, land.cover);
      const std::size_t chroma =
          static_cast<std::size_t>(y / 2) * static_cast<std::size_t>(width / 2) + static_cast<std::size_t>(x / 2);
      blue_[chroma] += 0.25f * shown.blue;
      red_[chroma] += 0.25f * shown.red;
    }
  }
}

void Backdrop::DrawRow(int y, double time_s, Canvas& canvas, int x0, int y0) const {
  const int width = canvas.width_px;
  const auto row = static_cast<std::size_t>(y) + static_cast<std::size_t>(y0);
  float* out = &canvas.Light(0, y);
  const std::size_t start = row * static_cast<std::size_t>(width_px_);
  const float* land = land_.data() + start + x0;
  const float* cover = land_cover_.data() + start + x0;
  if (!has_sky_[row] && !sways_[row]) {
    std::copy(land, land + width, out);
    return;
  }
  const double drift = scene_.look.cloud_drift_px_s;
  const double shift = drift >= 0 ? drift * (scene_.timing.duration_s - time_s) : -drift * time_s;
  const int whole = std::clamp(static_cast<int>(shift), 0, sky_width_px_ - width_px_ - 1);
  const auto part = static_cast<float>(std::clamp(shift - whole, 0.0, 1.0));
  const float* sky = sky_.data() + row * static_cast<std::size_t>(sky_width_px_) + whole + x0;
  if (!has_land_[row]) {
    for (int x = 0; x < width; ++x) out[x] = sky[x] + part * (sky[x + 1] - sky[x]);
    return;
  }
  constexpr int kBlock = 16;
  const auto bend_at = [&](int x) {
    const double a = 0.55 * time_s + 0.0037 * (x + x0) + 0.011 * (y + y0);
    const double b = 1.25 * time_s + 0.017 * (x + x0) - 0.007 * (y + y0);
    return scene_.look.sway_px * (0.6 * std::sin(2 * std::numbers::pi * a) + 0.4 * std::sin(2 * std::numbers::pi * b));
  };
  for (int block = 0; block < width; block += kBlock) {
    const auto first = static_cast<float>(bend_at(block)), next = static_cast<float>(bend_at(block + kBlock));
    for (int x = block; x < std::min(block + kBlock, width); ++x) {
      const float from =
          std::clamp(static_cast<float>(x) + first + (next - first) * static_cast<float>(x - block) / kBlock,
                     static_cast<float>(-x0),
                     static_cast<float>(width_px_ - 2 - x0));
      const int i = static_cast<int>(std::floor(from));
      const float f = from - static_cast<float>(i);
      const float covered = cover[i] + f * (cover[i + 1] - cover[i]);
      const float behind = sky[x] + part * (sky[x + 1] - sky[x]);
      out[x] = land[i] + f * (land[i + 1] - land[i]) + (1 - covered) * behind;
    }
  }
}

void Backdrop::Draw(double time_s, Canvas& canvas, int x0, int y0) const {
  for (int y = 0; y < canvas.height_px; ++y) DrawRow(y, time_s, canvas, x0, y0);
  const int wide = width_px_ / 2, width = canvas.width_px / 2;
  for (int y = 0; y < canvas.height_px / 2; ++y) {
    const std::ptrdiff_t from = static_cast<std::ptrdiff_t>(y + y0 / 2) * wide + x0 / 2;
    const std::ptrdiff_t to = static_cast<std::ptrdiff_t>(y) * width;
    std::copy_n(blue_.begin() + from, width, canvas.blue.begin() + to);
    std::copy_n(red_.begin() + from, width, canvas.red.begin() + to);
  }
}

}  // namespace loftline::render
