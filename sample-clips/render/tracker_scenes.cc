// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/tracker_scenes.h"

#include "sample-clips/render/backdrop.h"
#include "sample-clips/render/camera_motion.h"
#include "sample-clips/render/framing.h"
#include "sample-clips/render/random.h"
#include "sample-clips/render/scene_sampler.h"
#include "sample-clips/render/sensor.h"
#include "sample-clips/render/wide_view.h"

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
    if (!(check.seen_share > 0.93 && far_enough && check.turned_deg < camera.horizontal_view_deg)) continue;
    if (WideView::Fits(scene, CameraMotion(scene, BodyMotion(scene)))) return true;
  }
  return false;
}

Figure Leaf(Random& random, const Scene& scene) {
  Figure leaf;
  leaf.kind = "leaf";
  leaf.z_m = random.Uniform(-6, 0.7 * scene.camera.distance_m);
  leaf.y_m = random.Uniform(1.5, 7);
  leaf.x_m = scene.camera.x_m + random.Uniform(-0.5, 0.5) * (scene.camera.distance_m - leaf.z_m);
  leaf.vx_m_s = random.Normal(1.2);
  leaf.vy_m_s = random.Uniform(-1.4, -0.6);
  leaf.start_s = random.Uniform(0, 1);
  leaf.size_m = random.Uniform(0.04, 0.09);
  leaf.phase = random.Uniform();
  leaf.rgb = random.Chance(0.5) ? std::array<int, 3>{150, 120, 50} : std::array<int, 3>{80, 100, 50};
  return leaf;
}

Figure Shadow(Random& random, const Scene& scene, double size_m, double speed_m_s) {
  Figure shadow;
  shadow.kind = "shadow";
  shadow.size_m = size_m;
  shadow.vx_m_s = (random.Chance(0.5) ? 1 : -1) * speed_m_s;
  shadow.z_m = random.Uniform(-12, 3);
  shadow.x_m = scene.camera.x_m - shadow.vx_m_s * random.Uniform(0.5, 2.5);
  return shadow;
}

Figure Jumper(Random& random, double x_m, double z_m) {
  Figure jumper;
  jumper.kind = "jumper";
  jumper.x_m = x_m;
  jumper.z_m = z_m;
  jumper.size_m = random.Uniform(1.2, 1.7);
  jumper.phase = random.Uniform();
  jumper.rgb = {150, 60, 60};
  return jumper;
}

// On top of what a cluttered scene has: walkers, birds, flags, a ball.
void Clutter(Random& random, Scene& scene) {
  scene.look.clouds = random.Uniform(0.4, 0.7);  // as many edges as can be
  scene.look.cloud_drift_px_s = random.Normal(15);
  scene.figures.push_back(Jumper(random, SideOf(scene) * random.Uniform(-2.6, -2.1), random.Uniform(-1, -0.4)));
  Figure stick;
  stick.kind = "stick";
  stick.x_m = scene.camera.x_m + random.Uniform(-5, 5);
  stick.y_m = 1.5;
  stick.z_m = random.Uniform(-6, -1);
  stick.vx_m_s = random.Normal(4);
  stick.vy_m_s = random.Uniform(7, 11);
  stick.start_s = scene.flight.launch_s + random.Uniform(-0.3, 1.0);
  stick.size_m = random.Uniform(0.2, 0.35);
  stick.phase = random.Uniform();
  stick.rgb = {120, 96, 64};
  scene.figures.push_back(stick);
  for (int i = 0; i < 8; ++i) scene.figures.push_back(Leaf(random, scene));
  scene.figures.push_back(Shadow(random, scene, random.Uniform(0.5, 1.0), random.Uniform(5, 10)));
  scene.figures.push_back(Shadow(random, scene, random.Uniform(3, 7), random.Uniform(1, 3)));
}

double FocalPx(const Scene& scene) {
  return Lens(scene.camera, scene.picture).focal_px();
}

// So long an exposure that the launch is a streak of 25 to 60 px; at 60 frames a second the frame may end it sooner.
void Blur(Random& random, Scene& scene) {
  if (random.Chance(0.5)) scene.timing.capture_rate_hz = 30;  // what phones do in dim light
  const double launch_px_s = scene.flight.speed_m_s * FocalPx(scene) / scene.camera.distance_m;
  scene.timing.exposure_s = std::min(random.Uniform(25, 60) / launch_px_s, 0.95 / scene.timing.capture_rate_hz);
}

// Mean light of the sky behind the flight.
double SkyLight(const Scene& scene) {
  constexpr int kWidth = 240, kHeight = 136;
  const Lens small(scene.camera, {kWidth, kHeight, 0});
  Canvas canvas(kWidth, kHeight);
  Backdrop(scene, small, kWidth, kHeight).Draw(0.5 * scene.timing.duration_s, canvas);
  const Trajectory flight(LaunchOf(scene));
  double sum = 0.0;
  constexpr int kPlaces = 20;
  for (int i = 0; i < kPlaces; ++i) {
    const Eigen::Vector3d at_m = flight.At((0.25 + 0.5 * i / kPlaces) * flight.flight_time_s()).at_m;
    const Eigen::Vector2d px = small.PxFromWorld(at_m);
    sum += canvas.Light(std::clamp(static_cast<int>(px.x()), 0, kWidth - 1),
                        std::clamp(static_cast<int>(px.y()), 0, kHeight - 1));
  }
  return sum / kPlaces;
}

// The grey whose light, SHADE times its own, comes out CODE on the sensor.
std::array<int, 3> GreyFor(double code, double shade, double gain) {
  int best = 255;
  double least = 1e9;
  for (int grey = 60; grey <= 255; ++grey) {
    const double off = std::abs(CodeOfLight(gain * shade * PaintFromRgb({grey, grey, grey}).light) - code);
    if (off < least) best = grey, least = off;
  }
  return {best, best, best};
}

// An even overcast, light without direction, and a rocket that is hardly lighter or darker.
void LowerContrast(Random& random, Scene& scene) {
  Look& look = scene.look;
  look.clouds = 2.0;
  look.cloud_relief = random.Uniform(0.01, 0.03);
  look.sky_high_rgb = look.sky_low_rgb;
  look.tree_height_deg = random.Uniform(1.0, 3.0);
  look.sun_right = look.sun_up = 0.0;
  look.sun_front = 0.5;
  const double sky_code = CodeOfLight(look.gain * SkyLight(scene));
  const double code = sky_code + (random.Chance(0.5) ? 1 : -1) * random.Uniform(7, 9);
  const double body_shade = 0.5 + 0.55 * 0.5 * std::numbers::pi / 4;  // mean across a tube lit from the front
  scene.rocket.body_rgb = scene.rocket.nose_rgb = GreyFor(code, body_shade, look.gain);
  scene.rocket.fin_rgb = GreyFor(code, 0.85, look.gain);  // mean of the fins' own light
}

// Tilts the camera until the rocket is above the picture for a time about its apogee.
void LoseOverTheTop(double lost_s, Scene& scene) {
  const Trajectory flight(LaunchOf(scene));
  const Eigen::Vector3d leaves_m = flight.At(flight.time_to_apogee_s() - 0.5 * lost_s).at_m;
  for (int i = 0; i < 20; ++i) {
    const Lens lens(scene.camera, scene.picture);
    scene.camera.tilt_deg -= lens.PxFromWorld(leaves_m).y() / lens.focal_px() * kDegPerRad;
  }
}

// A post or a tree nearer to the camera that the rocket passes behind, FRAMES long.
void StandInTheWay(Random& random, const std::string& kind, double frames, Scene& scene) {
  const Trajectory flight(LaunchOf(scene));
  const Lens lens(scene.camera, scene.picture);
  const double at_s = random.Uniform(0.2, 0.75) * flight.flight_time_s();
  const FlightState state = flight.At(at_s);
  const double step_s = 1.0 / scene.timing.capture_rate_hz;
  const Eigen::Vector2d px = lens.PxFromWorld(state.at_m);
  const Eigen::Vector2d step_px = lens.PxFromWorld(state.at_m + step_s * state.velocity_m_s) - px;
  const double body_px = scene.rocket.length_m * lens.PxPerMAt(state.at_m);
  Figure figure;
  figure.kind = kind;
  figure.phase = random.Uniform();
  figure.z_m = scene.camera.distance_m - random.Uniform(3.0, 6.5);
  const double nearer = (lens.centre_m().z() - figure.z_m) / (lens.centre_m().z() - state.at_m.z());
  const Eigen::Vector3d hides_m = lens.centre_m() + nearer * (state.at_m - lens.centre_m());
  const double ground_m = -scene.flight.height_above_landing_m;
  // From a quarter of the body hidden to a quarter: half a body less than the step that the frames make.
  const double slant = std::abs(step_px.x()) / step_px.norm();
  const double width_px = std::max(8.0, slant * (frames * step_px.norm() - 0.5 * body_px));
  figure.x_m = hides_m.x();
  figure.width_m = width_px / lens.PxPerMAt(hides_m);
  figure.size_m = hides_m.y() - ground_m + 1.5;
  figure.rgb = kind == "post" ? std::array<int, 3>{104, 100, 96} : std::array<int, 3>{66, 84, 44};
  scene.figures.push_back(figure);
}

bool Occlude(Random& random, std::uint64_t seed, Scene& scene) {
  const double frames = random.Uniform(4, 11);
  if (seed % 3 == 0) StandInTheWay(random, "post", frames, scene);
  if (seed % 3 == 1) StandInTheWay(random, "tree", frames, scene);
  if (seed % 3 == 2) LoseOverTheTop(random.Uniform(0.15, 0.6), scene);
  return SetPoles(random, scene);
}

void StayOnTheGround(Random& random, Scene& scene) {
  scene.has_rocket = random.Chance(0.5);
  scene.flight.launch_s = scene.timing.duration_s + 60;
  scene.figures.push_back(Jumper(random, SideOf(scene) * random.Uniform(-2.6, -2.1), -0.6));
  for (int i = 0; i < 4; ++i) scene.figures.push_back(Leaf(random, scene));
  scene.figures.push_back(Shadow(random, scene, random.Uniform(0.5, 1.0), random.Uniform(5, 10)));
}

}  // namespace

const std::vector<std::string>& TrackerConditions() {
  static const std::vector<std::string> conditions{
      "tripod", "clutter", "hand-held", "panning", "streak", "low-contrast", "occluded", "no-rocket"};
  return conditions;
}

Expected<Scene> SampleTrackerScene(const std::string& condition, std::uint64_t seed) {
  const auto is = [&condition](const char* name) { return condition == name; };
  std::string kind = condition;
  if (is("clutter")) kind = "cluttered";
  if (is("streak")) kind = "evening";
  if (is("no-rocket")) kind = "birds";
  Expected<Scene> drawn = SampleKind(kind, condition, seed);
  if (!drawn) return drawn;
  Scene scene = *drawn;
  Random random(SeedFor(scene.seed, 90));
  bool ok = true;
  if (is("tripod")) scene.timing.exposure_s = 1.0 / random.Uniform(800, 2500);
  if (is("clutter")) Clutter(random, scene);
  if (is("hand-held")) Hold(random, scene);
  if (is("panning")) ok = Pan(random, scene);
  if (is("streak")) Blur(random, scene);
  if (is("low-contrast")) LowerContrast(random, scene);
  if (is("occluded")) ok = Occlude(random, seed, scene);
  if (is("no-rocket")) StayOnTheGround(random, scene);
  if (!ok) return NoScene(condition);
  return scene;
}

}  // namespace loftline::render
