// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/figures.h"

#include "sample-clips/render/random.h"
#include "sample-clips/render/trajectory.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::render {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr std::array<int, 3> kSkin{206, 160, 130}, kTrousers{52, 54, 66}, kWood{142, 112, 78}, kBand{214, 60, 44},
    kBark{84, 70, 56}, kTube{70, 74, 80}, kBottle{120, 150, 138}, kHose{50, 52, 50};

// Jumps on the spot, one after the other.
double HopHeight(double time_s, double phase) {
  constexpr double kPeriod_s = 0.85, kFlight_s = 0.5, kGravity = 9.8;
  const double at_s = std::fmod(time_s + phase * kPeriod_s, kPeriod_s);
  return at_s < kFlight_s ? 0.5 * kGravity * at_s * (kFlight_s - at_s) : 0.0;
}

// How the feet of the one who stomps leave and meet the ground, the last touch just before the launch.
double JumpHeight(double before_launch_s) {
  constexpr double kFlight_s = 0.46, kTouch_s = 0.035, kGravity = 9.8;
  const double since_take_off_s = kFlight_s + kTouch_s - before_launch_s;
  if (since_take_off_s <= 0 || since_take_off_s >= kFlight_s) return 0.0;
  return 0.5 * kGravity * since_take_off_s * (kFlight_s - since_take_off_s);
}

}  // namespace

struct Figures::Pen {
  const Lens& lens;
  Canvas& canvas;
  std::vector<float>* front;
  double edge_px;

  void Line(const Eigen::Vector3d& from_m,
            const Eigen::Vector3d& to_m,
            double from_radius_m,
            double to_radius_m,
            const std::array<int, 3>& rgb) {
    if (lens.DepthOf(from_m) < 0.3 || lens.DepthOf(to_m) < 0.3) return;
    const Stroke stroke{lens.PxFromWorld(from_m),
                        lens.PxFromWorld(to_m),
                        from_radius_m * lens.PxPerMAt(from_m),
                        to_radius_m * lens.PxPerMAt(to_m)};
    LayStroke(canvas, stroke, Shaded(PaintFromRgb(rgb), 0.9), edge_px, front);
  }
};

void Figures::DrawPerson(const Figure& figure, double time_s, Pen& pen) const {
  const double h = figure.size_m;
  const bool hops = figure.kind == "jumper", walks = figure.kind == "walker";
  const bool stomps = figure.kind == "stomper" || hops;
  double jump_m = 0.0;
  if (hops) jump_m = HopHeight(time_s, figure.phase);
  if (stomps && !hops) jump_m = JumpHeight(scene_.flight.launch_s - time_s);
  const double stride =
      walks ? std::sin(kTurn * (0.9 * time_s * std::max(0.6, std::abs(figure.vx_m_s)) + figure.phase)) : 0.08;
  const double shift = 0.02 * h * std::sin(kTurn * (0.35 * time_s + figure.phase));
  const Eigen::Vector3d foot(figure.x_m + figure.vx_m_s * time_s + (walks ? 0 : shift),
                             GroundY() + jump_m,
                             figure.z_m + figure.vz_m_s * time_s);
  const auto at = [&](double x, double y) -> Eigen::Vector3d { return foot + Eigen::Vector3d(x * h, y * h, 0); };
  const double tuck = stomps && jump_m > 0.05 ? 0.10 : 0.0;
  const double reach = stomps ? 0.10 + 0.9 * jump_m : 0.05 * std::sin(kTurn * (0.5 * time_s + figure.phase));
  const Eigen::Vector3d hip = at(0, 0.50), neck = at(0.01, 0.82);
  pen.Line(hip, at(0.11 * stride + tuck, 0.25 + tuck / 2), 0.045 * h, 0.035 * h, kTrousers);
  pen.Line(at(0.11 * stride + tuck, 0.25 + tuck / 2), at(0.16 * stride, 0.02), 0.035 * h, 0.025 * h, kTrousers);
  pen.Line(hip, at(-0.11 * stride + tuck, 0.25 + tuck / 2), 0.045 * h, 0.035 * h, kTrousers);
  pen.Line(at(-0.11 * stride + tuck, 0.25 + tuck / 2), at(-0.16 * stride, 0.02), 0.035 * h, 0.025 * h, kTrousers);
  pen.Line(hip, neck, 0.07 * h, 0.085 * h, figure.rgb);
  pen.Line(neck, at(0.12 - 0.10 * stride + reach, 0.60 + reach), 0.035 * h, 0.025 * h, figure.rgb);
  pen.Line(neck, at(-0.12 + 0.10 * stride - reach, 0.60 + reach), 0.035 * h, 0.025 * h, figure.rgb);
  pen.Line(at(0.01, 0.92), at(0.012, 0.94), 0.065 * h, 0.062 * h, kSkin);
}

void Figures::DrawBird(const Figure& figure, double time_s, Pen& pen) const {
  const double flying_s = time_s - figure.start_s;
  const Eigen::Vector3d body(
      figure.x_m + figure.vx_m_s * flying_s,
      GroundY() + figure.y_m + figure.vy_m_s * flying_s + 0.1 * std::sin(kTurn * (0.7 * time_s + figure.phase)),
      figure.z_m + figure.vz_m_s * flying_s);
  const double beat = 0.35 * figure.size_m * std::sin(kTurn * (5.0 * time_s + figure.phase));
  const double s = figure.size_m, ahead = figure.vx_m_s >= 0 ? 1 : -1;
  const auto at = [&](double x, double y) -> Eigen::Vector3d { return body + Eigen::Vector3d(ahead * x, y, 0); };
  pen.Line(at(-0.22 * s, 0), at(0.18 * s, 0.01 * s), 0.03 * s, 0.05 * s, figure.rgb);
  pen.Line(at(0.05 * s, 0), at(-0.10 * s, beat), 0.04 * s, 0.015 * s, figure.rgb);
  pen.Line(at(0.05 * s, 0), at(-0.02 * s, 0.8 * beat + 0.08 * s), 0.04 * s, 0.015 * s, figure.rgb);
}

Eigen::Vector3d Figures::Thrown(const Figure& figure, double time_s) const {
  const double s = time_s - figure.start_s;
  return {figure.x_m + figure.vx_m_s * s,
          GroundY() + std::max(0.05, figure.y_m + figure.vy_m_s * s - 4.9 * s * s),
          figure.z_m + figure.vz_m_s * s};
}

void Figures::DrawStick(const Figure& figure, double time_s, Pen& pen) const {
  if (time_s < figure.start_s) return;
  const Eigen::Vector3d at_m = Thrown(figure, time_s);
  const double turn = kTurn * (1.1 * (time_s - figure.start_s) + figure.phase);
  const Eigen::Vector3d half = 0.5 * figure.size_m * Eigen::Vector3d(std::cos(turn), std::sin(turn), 0);
  pen.Line(at_m - half, at_m + half, 0.012, 0.012, figure.rgb);
}

// Flutters from side to side as it comes down.
void Figures::DrawLeaf(const Figure& figure, double time_s, Pen& pen) const {
  const double s = time_s - figure.start_s, swing = kTurn * (1.3 * time_s + figure.phase);
  const Eigen::Vector3d at_m(figure.x_m + figure.vx_m_s * s + 0.12 * std::sin(swing),
                             GroundY() + figure.y_m + figure.vy_m_s * s + 0.04 * std::cos(2 * swing),
                             figure.z_m + figure.vz_m_s * s);
  if (at_m.y() < GroundY()) return;
  const double tilt = 1.1 * std::cos(swing);
  const Eigen::Vector3d half = 0.5 * figure.size_m * Eigen::Vector3d(std::cos(tilt), std::sin(tilt), 0);
  pen.Line(at_m - half, at_m + half, 0.2 * figure.size_m, 0.08 * figure.size_m, figure.rgb);
}

// A soft round shadow that slides over the ground; it darkens what is painted there already.
void Figures::DrawShadow(const Figure& figure, double time_s, Pen& pen) const {
  const Eigen::Vector3d middle(figure.x_m + figure.vx_m_s * time_s, GroundY(), figure.z_m + figure.vz_m_s * time_s);
  const double across_m = 0.5 * figure.size_m, deep_m = 0.4 * figure.size_m;
  Eigen::Vector2d low = Eigen::Vector2d::Constant(1e9), high = -low;
  for (const double x : {-across_m, across_m}) {
    for (const double z : {-deep_m, deep_m}) {
      const Eigen::Vector3d corner = middle + Eigen::Vector3d(x, 0, z);
      if (pen.lens.DepthOf(corner) < 0.5) return;
      low = low.cwiseMin(pen.lens.PxFromWorld(corner));
      high = high.cwiseMax(pen.lens.PxFromWorld(corner));
    }
  }
  const int x0 = static_cast<int>(std::clamp(low.x(), 0.0, pen.canvas.width_px - 1.0));
  const int x1 = static_cast<int>(std::clamp(high.x(), 0.0, pen.canvas.width_px - 1.0));
  const int y0 = static_cast<int>(std::clamp(low.y(), 0.0, pen.canvas.height_px - 1.0));
  const int y1 = static_cast<int>(std::clamp(high.y(), 0.0, pen.canvas.height_px - 1.0));
  for (int y = y0; y <= y1; ++y) {
    for (int x = x0; x <= x1; ++x) {
      const Eigen::Vector3d ray = pen.lens.RayFromPx({x, y});
      if (ray.y() > -1e-3) continue;
      const Eigen::Vector3d at_m = pen.lens.centre_m() + (GroundY() - pen.lens.centre_m().y()) / ray.y() * ray;
      const double off = std::hypot((at_m.x() - middle.x()) / across_m, (at_m.z() - middle.z()) / deep_m);
      pen.canvas.Light(x, y) *= static_cast<float>(1 - 0.45 * std::clamp((1 - off) / 0.35, 0.0, 1.0));
    }
  }
}

void Figures::DrawPost(const Figure& figure, Pen& pen) const {
  const Eigen::Vector3d foot(figure.x_m, GroundY(), figure.z_m);
  pen.Line(foot, foot + Eigen::Vector3d(0, figure.size_m, 0), figure.width_m / 2, figure.width_m / 2, figure.rgb);
}

// A slender tree, leafy from near the ground to its pointed top; the clumps lie close enough to hide what is behind.
void Figures::DrawTree(const Figure& figure, double time_s, Pen& pen) const {
  const Eigen::Vector3d foot(figure.x_m, GroundY(), figure.z_m);
  const double width_m = figure.width_m, pitch_m = 0.22 * width_m, from_m = std::min(0.6, 0.2 * figure.size_m);
  pen.Line(foot, foot + Eigen::Vector3d(0, from_m + pitch_m, 0), 0.12 * width_m, 0.1 * width_m, kBark);
  const auto salt = static_cast<std::uint32_t>(figure.phase * 1e6);
  const int rows = static_cast<int>((figure.size_m - from_m) / pitch_m);
  for (int row = 0; row < rows; ++row) {
    const double up_m = from_m + pitch_m * row;
    const double narrow = std::clamp((figure.size_m - up_m) / 0.9, 0.15, 1.0);
    const double sway_m =
        0.03 * width_m * std::sin(kTurn * (0.6 * time_s + 0.02 * row + LatticeValue(row, 1, salt) / 9));
    for (int clump = -1; clump <= 1; ++clump) {
      const int which = 3 * row + clump;
      const double aside_m = width_m * narrow * (0.29 * clump + 0.04 * LatticeValue(which, 2, salt)) + sway_m;
      const double lit = 0.9 + 0.25 * LatticeValue(which, 3, salt) - 0.15 * clump;
      const auto shade = [lit](int value) { return static_cast<int>(std::clamp(lit * value, 0.0, 255.0)); };
      const double radius_m = width_m * narrow * (0.2 + 0.03 * LatticeValue(which, 4, salt));
      const Eigen::Vector3d at_m = foot + Eigen::Vector3d(aside_m, up_m, 0);
      pen.Line(at_m,
               at_m + Eigen::Vector3d(0, radius_m, 0),
               radius_m,
               0.7 * radius_m,
               {shade(figure.rgb[0]), shade(figure.rgb[1]), shade(figure.rgb[2])});
    }
  }
}

void Figures::DrawFlag(const Figure& figure, double time_s, Pen& pen) const {
  const Eigen::Vector3d foot(figure.x_m, GroundY(), figure.z_m);
  const Eigen::Vector3d top = foot + Eigen::Vector3d(0, figure.size_m, 0);
  pen.Line(foot, top, 0.02, 0.015, kWood);
  constexpr int kParts = 7;
  for (int i = 0; i < kParts; ++i) {
    const double out_m = 0.10 * i;
    const double wave_m = 0.05 * i / kParts * std::sin(kTurn * (1.4 * time_s + figure.phase - 0.18 * i));
    pen.Line(top + Eigen::Vector3d(out_m, -0.05 + wave_m, 0),
             top + Eigen::Vector3d(out_m, -0.38 + wave_m, 0),
             0.055,
             0.055,
             figure.rgb);
  }
}

// A hand that strays before the lens: placed in the picture, not in the world, and well out of focus.
void Figures::DrawHand(const Figure& figure, double time_s, Pen& pen) const {
  constexpr double kLasts_s = 0.5;
  const double share = (time_s - figure.start_s) / kLasts_s;
  if (share < 0 || share > 1) return;
  const double in = std::sin(std::numbers::pi * share);
  const double width = pen.canvas.width_px, height = pen.canvas.height_px;
  const double radius = 0.055 * width * figure.size_m;
  const Eigen::Vector2d tip(figure.x_m * width, height * (1.1 - 0.75 * in));
  const Eigen::Vector2d wrist(figure.x_m * width + 0.12 * width, height * 1.3);
  for (int finger = 0; finger < 4; ++finger) {
    const Eigen::Vector2d aside(0.62 * radius * (finger - 1.5), 0.15 * radius * std::abs(finger - 1.5));
    LayStroke(pen.canvas,
              {tip + aside, wrist + aside, 0.4 * radius, 1.2 * radius},
              PaintFromRgb(figure.rgb),
              14.0,
              pen.front);
  }
}

void Figures::Draw(const Figure& figure, double time_s, Pen& pen) const {
  if (figure.kind == "bird") return DrawBird(figure, time_s, pen);
  if (figure.kind == "flag") return DrawFlag(figure, time_s, pen);
  if (figure.kind == "hand") return DrawHand(figure, time_s, pen);
  if (figure.kind == "stick") return DrawStick(figure, time_s, pen);
  if (figure.kind == "leaf") return DrawLeaf(figure, time_s, pen);
  if (figure.kind == "shadow") return DrawShadow(figure, time_s, pen);
  if (figure.kind == "post") return DrawPost(figure, pen);
  if (figure.kind == "tree") return DrawTree(figure, time_s, pen);
  if (figure.kind != "ball") return DrawPerson(figure, time_s, pen);
  if (time_s < figure.start_s) return;
  const Eigen::Vector3d at_m = Thrown(figure, time_s);
  pen.Line(at_m, at_m + Eigen::Vector3d(0.001, 0, 0), figure.size_m / 2, figure.size_m / 2, figure.rgb);
}

void Figures::DrawPoles(Pen& pen) const {
  for (const double x_m : {scene_.survey.pole_left_m, scene_.survey.pole_right_m}) {
    const Eigen::Vector3d foot(x_m, GroundY(), scene_.survey.pole_z_m);
    const Eigen::Vector3d band = foot + Eigen::Vector3d(0, scene_.survey.pole_height_m, 0);
    pen.Line(foot, band + Eigen::Vector3d(0, 0.15, 0), 0.018, 0.016, kWood);
    pen.Line(band - Eigen::Vector3d(0, 0.03, 0), band + Eigen::Vector3d(0, 0.03, 0), 0.03, 0.03, kBand);
  }
}

void Figures::DrawLauncher(Pen& pen) const {
  const LaunchConditions launch = LaunchOf(scene_);
  const Eigen::Vector3d tube = launch.velocity_m_s.normalized();
  const double back = launch.velocity_m_s.x() >= 0 ? -1.0 : 1.0;
  const double height_m = scene_.flight.height_above_landing_m;
  const double tube_m = std::min(0.5, 0.8 * height_m / std::max(tube.y(), 0.2));
  const Eigen::Vector3d elbow = -tube_m * tube, bottle(back * 1.5, GroundY() + 0.06, 0.0);
  const double radius_m = 0.46 * scene_.rocket.diameter_m;
  const auto ground = [&](double x, double z) { return Eigen::Vector3d(elbow.x() + x, GroundY(), z); };
  pen.Line(elbow, ground(back * 0.7, 0), 0.012, 0.012, kHose);
  pen.Line(ground(back * 0.7, 0), bottle, 0.012, 0.012, kHose);
  pen.Line(elbow * 0.7, ground(0.25, 0.2), 0.014, 0.014, kWood);
  pen.Line(elbow * 0.7, ground(-0.25, 0.2), 0.014, 0.014, kWood);
  pen.Line(elbow * 0.7, ground(0.0, -0.3), 0.014, 0.014, kWood);
  pen.Line(elbow, Eigen::Vector3d::Zero(), radius_m, radius_m, kTube);
  pen.Line(bottle, bottle + Eigen::Vector3d(back * 0.25, 0, 0), 0.05, 0.05, kBottle);
}

void Figures::DrawBehind(double time_s, Canvas& canvas) const {
  Pen pen{lens_, canvas, nullptr, scene_.look.blur_px};
  std::vector<const Figure*> behind;
  for (const Figure& figure : scene_.figures) {
    if (figure.kind == "shadow") Draw(figure, time_s, pen);
    if (figure.kind != "shadow" && figure.kind != "hand" && figure.z_m < 0) behind.push_back(&figure);
  }
  std::stable_sort(behind.begin(), behind.end(), [](const Figure* a, const Figure* b) { return a->z_m < b->z_m; });
  for (const Figure* figure : behind) Draw(*figure, time_s, pen);
  if (scene_.survey.pole_z_m < 0) DrawPoles(pen);
  DrawLauncher(pen);
}

bool Figures::AnythingInFront() const {
  return scene_.survey.pole_z_m >= 0 || std::any_of(scene_.figures.begin(), scene_.figures.end(), [](const Figure& f) {
           return f.kind == "hand" || (f.kind != "shadow" && f.z_m >= 0);
         });
}

void Figures::DrawInFront(double time_s, Canvas& canvas, std::vector<float>& front) const {
  Pen pen{lens_, canvas, &front, scene_.look.blur_px};
  if (scene_.survey.pole_z_m >= 0) DrawPoles(pen);
  for (const Figure& figure : scene_.figures) {
    if (figure.kind != "hand" && figure.kind != "shadow" && figure.z_m >= 0) Draw(figure, time_s, pen);
  }
  for (const Figure& figure : scene_.figures) {
    if (figure.kind == "hand") Draw(figure, time_s, pen);
  }
}

}  // namespace loftline::render
