// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/tracker_scenes.h"

#include "sample-clips/render/camera_motion.h"
#include "sample-clips/render/framing.h"
#include "sample-clips/render/random.h"
#include "sample-clips/render/scene_sampler.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::render {
namespace {

constexpr double kDegPerRad = 180.0 / std::numbers::pi;

Error NoScene(const std::string& condition) {
  Error error;
  error.kind = ErrorKind::kInternal;
  error.code = "no-scene";
  error.message = "no plausible scene of kind " + condition + " came up.";
  return error;
}

double SideOf(const Scene& scene) {
  return scene.flight.direction == "left" ? -1.0 : 1.0;
}

void Hold(Random& random, Scene& scene) {
  scene.handling.drift_deg = random.Uniform(0.08, 0.3);
  scene.handling.shake_deg = random.Uniform(0.04, 0.12);
  scene.handling.roll_deg = random.Uniform(0.1, 0.4);
}

// How much of the flight a panning camera keeps in its picture, and how far it turns.
struct PanCheck {
  double seen_share = 0.0, turned_deg = 0.0;
};

PanCheck CheckPan(const Scene& scene) {
  const BodyMotion body(scene);
  const CameraMotion camera(scene, body);
  constexpr double kStep_s = 0.02, kMargin_px = 15;
  int seen = 0, all = 0;
  PanCheck check;
  const Eigen::Vector3d first_aim = camera.At(0).cam_from_world().row(2);
  const int steps = static_cast<int>((body.landing_s() - scene.flight.launch_s) / kStep_s);
  for (int i = 0; i <= steps; ++i) {
    const double at_s = scene.flight.launch_s + kStep_s * i;
    const Lens lens = camera.At(at_s);
    const Eigen::Vector3d at_m = body.At(at_s).middle_m;
    const Eigen::Vector2d px = lens.PxFromWorld(at_m);
    const bool inside = lens.DepthOf(at_m) > 1 && px.minCoeff() > kMargin_px &&
                        px.x() < scene.picture.width_px - kMargin_px && px.y() < scene.picture.height_px - kMargin_px;
    ++all;
    if (inside) ++seen;
    const double turned = std::acos(std::clamp(first_aim.dot(lens.cam_from_world().row(2)), -1.0, 1.0));
    check.turned_deg = std::max(check.turned_deg, turned * kDegPerRad);
  }
  check.seen_share = all > 0 ? static_cast<double>(seen) / all : 0.0;
  return check;
}

// Nearer than the whole flight would fit, with the launcher in a lower corner at first.
bool Pan(Random& random, Scene& scene) {
  CameraPlace& camera = scene.camera;
  const Trajectory flight(LaunchOf(scene));
  const CameraPlace whole = camera;
  for (int attempt = 0; attempt < 300; ++attempt) {
    camera = whole;
    camera.distance_m = std::max(7.0, whole.distance_m * random.Uniform(0.45, 0.75));
    camera.x_m = SideOf(scene) * random.Uniform(0.1, 0.5) * flight.range_m();
    const double half_view_deg = 0.5 * camera.horizontal_view_deg;
    const double launcher_deg = std::atan2(-camera.x_m, camera.distance_m) * kDegPerRad;
    camera.yaw_deg = launcher_deg + SideOf(scene) * random.Uniform(0.2, 0.6) * half_view_deg;
    camera.tilt_deg = random.Uniform(0.15, 0.45) * half_view_deg;
    Hold(random, scene);
    scene.handling.follow = random.Uniform(0.75, 1.0);
    scene.handling.follow_delay_s = random.Uniform(0.08, 0.2);
    scene.handling.follow_hz = random.Uniform(1.2, 1.9);
    scene.handling.follow_damping = random.Uniform(0.65, 0.95);
    if (!SetPoles(random, scene)) continue;
    const PanCheck check = CheckPan(scene);
    const bool far_enough = check.turned_deg > 0.35 * camera.horizontal_view_deg;
    if (check.seen_share > 0.93 && far_enough && check.turned_deg < camera.horizontal_view_deg) return true;
  }
  return false;
}

}  // namespace

const std::vector<std::string>& TrackerConditions() {
  static const std::vector<std::string> conditions{"hand-held", "panning"};
  return conditions;
}

Expected<Scene> SampleTrackerScene(const std::string& condition, std::uint64_t seed) {
  const auto is = [&condition](const char* name) { return condition == name; };
  const char* kind = is("clutter") ? "cluttered" : is("streak") ? "evening" : condition.c_str();
  Expected<Scene> drawn = SampleKind(kind, condition, seed);
  if (!drawn) return drawn;
  Scene scene = *drawn;
  Random random(SeedFor(scene.seed, 90));
  bool ok = true;
  if (is("hand-held")) Hold(random, scene);
  if (is("panning")) ok = Pan(random, scene);
  if (!ok) return NoScene(condition);
  return scene;
}

}  // namespace loftline::render
