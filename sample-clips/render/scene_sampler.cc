// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/scene_sampler.h"

#include "sample-clips/render/framing.h"
#include "sample-clips/render/interval_scenes.h"
#include "sample-clips/render/random.h"
#include "sample-clips/render/tracker_scenes.h"
#include "sample-clips/render/trajectory.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::render {
namespace {

constexpr double kRadPerDeg = std::numbers::pi / 180.0;
using Rgb = std::array<int, 3>;
constexpr Rgb kBodies[] = {
    {240, 238, 230}, {240, 238, 230}, {236, 206, 70}, {214, 78, 46}, {58, 92, 160}, {64, 60, 62}};
constexpr Rgb kTrims[] = {{240, 238, 230}, {208, 64, 44}, {46, 84, 150}, {40, 42, 46}, {60, 130, 80}};
constexpr Rgb kCoats[] = {{60, 72, 120}, {150, 60, 60}, {70, 100, 80}, {180, 160, 90}, {90, 90, 96}, {200, 200, 196}};

// FNV-1a: the same on every machine, unlike std::hash.
std::uint64_t Hash(const std::string& text) {
  std::uint64_t hash = 0xCBF29CE484222325ULL;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001B3ULL;
  return hash;
}

class Sampler {
 public:
  Sampler(const std::string& condition, const std::string& label, std::uint64_t seed)
      : condition_(condition), random_(SeedFor(seed, Hash(label))) {
    scene_.seed = SeedFor(seed, Hash(label) ^ 77) >> 16;  // also of the survey: mistakes of hand are not shared
    scene_.name = label + "-" + std::to_string(seed);
  }

  Expected<Scene> Sample() {
    for (int attempt = 0; attempt < 4000; ++attempt) {
      DrawPicture();
      DrawRocket();
      DrawFlight();
      if (!Plausible() || !Frame(FramingFor(), random_, scene_)) continue;
      DrawLook();
      DrawTiming();
      DrawFigures();
      DrawSurvey();
      return scene_;
    }
    Error error;
    error.kind = ErrorKind::kInternal;
    error.code = "no-scene";
    error.message = "no plausible scene of kind " + condition_ + " came up.";
    return error;
  }

 private:
  bool Is(const char* condition) const { return condition_ == condition; }
  template <std::size_t N>
  Rgb OneOf(const Rgb (&list)[N]) {
    return list[random_.Pick(static_cast<int>(N))];
  }
  double NormalWithin(double std, double limit) { return std::clamp(random_.Normal(std), -limit, limit); }

  void DrawPicture() {
    scene_.picture = Picture{};
    double view_deg = random_.Uniform(55, 70);
    if (Is("portrait")) {
      scene_.picture = {1080, 1920, random_.Chance(0.7) ? 90 : 270};
      view_deg = 2 / kRadPerDeg * std::atan(std::tan(view_deg / 2 * kRadPerDeg) * 9.0 / 16.0);
    }
    if (Is("fast-rate")) scene_.picture = {1280, 720, 0};
    if (Is("whole-arc") && random_.Chance(0.2)) scene_.picture.rotation_deg = 180;
    scene_.camera = CameraPlace{};
    scene_.camera.horizontal_view_deg = view_deg;
    scene_.camera.k1 = NormalWithin(0.012, 0.03);
    scene_.camera.k2 = NormalWithin(0.008, 0.02);
    scene_.camera.p1 = NormalWithin(0.0003, 0.001);
    scene_.camera.p2 = NormalWithin(0.0003, 0.001);
    scene_.camera.yaw_deg = NormalWithin(1.0, 2.5);
    scene_.camera.roll_deg = NormalWithin(0.6, 1.5);
  }

  void DrawRocket() {
    Rocket& rocket = scene_.rocket;
    rocket.length_m = random_.Uniform(0.23, 0.31);
    rocket.diameter_m = random_.Uniform(0.022, 0.025);
    rocket.mass_kg = random_.Uniform(0.005, 0.009);
    rocket.nose_share = random_.Uniform(0.12, 0.22);
    rocket.nose_power = random_.Uniform(0.45, 1.0);
    rocket.fins = random_.Chance(0.5) ? 3 : 4;
    rocket.fin_span_m = random_.Uniform(0.014, 0.026);
    rocket.fin_chord_m = random_.Uniform(0.028, 0.05);
    rocket.spin_hz = random_.Normal(2.0);
    rocket.body_rgb = OneOf(kBodies);
    rocket.nose_rgb = random_.Chance(0.5) ? rocket.body_rgb : OneOf(kTrims);
    rocket.fin_rgb = random_.Chance(0.4) ? rocket.body_rgb : OneOf(kTrims);
  }

  void DrawFlight() {
    Flight& flight = scene_.flight;
    flight.speed_m_s = random_.Uniform(17, 28);  // common practice: what a stomp gives a light paper rocket
    flight.elevation_deg = Is("portrait") ? random_.Uniform(72, 83) : random_.Uniform(45, 74);
    flight.azimuth_deg = NormalWithin(2.0, 5.0);
    flight.direction = Is("left") || (!Is("whole-arc") && random_.Chance(0.3)) ? "left" : "right";
    flight.drag_coefficient = random_.Uniform(0.35, 0.9);
    flight.height_above_landing_m = random_.Uniform(0.35, 0.9);
    flight.wobble_deg = random_.Uniform(0.5, 6);
    flight.wobble_hz = random_.Uniform(3, 8);
    flight.wobble_decay_s = random_.Uniform(0.2, 0.8);
    flight.landing = random_.Chance(0.5) ? "sticks" : "lies";
    flight.launch_s = random_.Uniform(0.55, 0.9);
    Air& air = scene_.air;
    air.temperature_c = random_.Uniform(4, 28);
    air.pressure_hpa = random_.Uniform(990, 1030);
    air.humidity_percent = random_.Uniform(40, 95);
    air.wind_along_m_s = NormalWithin(0.7, 1.8);
    air.latitude_deg = random_.Uniform(42, 60);
    air.elevation_m = random_.Uniform(1, 60);
  }

  bool Plausible() const {
    const LaunchConditions launch = LaunchOf(scene_);
    // A drag that is a small share of the weight shows only in centimetres of path and is no test of measuring drag.
    constexpr double kLeastDragInWeights = 0.9;
    const double drag_m_s2 = launch.drag_per_m * launch.velocity_m_s.squaredNorm();
    if (drag_m_s2 < kLeastDragInWeights * launch.gravity_m_s2) return false;
    const Trajectory flight(launch);
    return flight.apogee_m() > 6 && flight.apogee_m() < 22 && flight.range_m() > (Is("portrait") ? 2.0 : 6.0) &&
           flight.At(flight.flight_time_s()).at_m.x() * (scene_.flight.direction == "left" ? -1 : 1) > 1.5;
  }

  Framing FramingFor() {
    Framing framing;
    if (Is("hand-held")) framing.margin_px = 60;  // who holds a phone leaves room
    if (!Is("launch-only")) return framing;
    const Trajectory flight(LaunchOf(scene_));
    framing.flight_share = random_.Uniform(0.65, 0.85) * flight.time_to_apogee_s() / flight.flight_time_s();
    framing.apogee_outside = true;
    framing.nearest_m = random_.Uniform(10, 14);
    framing.farthest_m = 22;
    return framing;
  }

  void DrawTiming() {
    const Trajectory flight(LaunchOf(scene_));
    Timing timing;
    timing.duration_s = scene_.flight.launch_s + flight.flight_time_s() + random_.Uniform(0.4, 0.7);
    timing.exposure_s = 1.0 / random_.Uniform(500, 2000);
    timing.readout_s = random_.Uniform(0.008, 0.0155);
    if (random_.Chance(0.4)) timing.capture_rate_hz = 60000.0 / 1001;
    if (Is("fast-rate")) {
      timing.capture_rate_hz = 240;
      timing.readout_s = random_.Uniform(0.0028, 0.0039);
      timing.exposure_s = 1.0 / random_.Uniform(1000, 3000);
      if (random_.Chance(0.5)) {
        timing.stored_rate_hz = 30;
        timing.capture_tag = true;
      }
      scene_.survey.gives_capture_rate = timing.stored_rate_hz > 0 && random_.Chance(0.5);
    }
    if (Is("variable-rate")) {
      timing.capture_rate_hz = random_.Uniform(56, 60);
      timing.jitter_s = random_.Uniform(0.0003, 0.0015);
      timing.drop_share = random_.Uniform(0.005, 0.03);
      timing.readout_s = random_.Uniform(0.008, 0.0125);
    }
    if (Is("evening")) timing.exposure_s = random_.Uniform(0.006, 0.012);
    scene_.timing = timing;
  }

  void DrawLook() {
    Look look;
    const double grey = random_.Uniform();
    look.sky_high_rgb = {
        static_cast<int>(90 + 70 * grey), static_cast<int>(136 + 40 * grey), static_cast<int>(196 - 14 * grey)};
    look.clouds = random_.Uniform(0.1, 1.0);
    look.cloud_drift_px_s = random_.Normal(6.0);
    look.gain = random_.Uniform(0.85, 1.1);
    look.exposure_drift = random_.Uniform(0.002, 0.015);
    look.tree_height_deg = random_.Uniform(1.5, 7);
    look.tree_gaps = random_.Uniform(0.1, 0.7);
    look.sway_px = random_.Uniform(0.2, 1.2);
    look.sun_right = random_.Uniform(-0.8, 0.8);
    look.sun_up = random_.Uniform(0.3, 0.8);
    look.sun_front = random_.Uniform(0.1, 0.7);
    look.blur_px = random_.Uniform(1.1, 1.7);
    look.read_noise = random_.Uniform(0.001, 0.002);
    look.shot_noise = random_.Uniform(0.00005, 0.0002);
    look.sharpening = random_.Uniform(0.0, 0.5);
    if (Is("cluttered")) {
      look.tree_height_deg = random_.Uniform(7, 11);
      look.tree_gaps = random_.Uniform(0.2, 0.5);
      look.sway_px = random_.Uniform(0.6, 1.8);
    }
    if (Is("evening")) {
      look.sky_high_rgb = {86, 104, 148};
      look.sky_low_rgb = {222, 176, 140};
      look.ground_rgb = {84, 76, 72};
      look.tree_rgb = {34, 38, 36};
      look.gain = random_.Uniform(0.6, 0.85);
      look.read_noise = random_.Uniform(0.002, 0.0035);  // after the phone's own noise reduction
      look.shot_noise = random_.Uniform(0.0002, 0.0005);
    }
    scene_.look = look;
  }

  Figure Person(const std::string& kind, double x_m, double z_m) {
    Figure figure;
    figure.kind = kind;
    figure.x_m = x_m;
    figure.z_m = z_m;
    figure.size_m = random_.Uniform(1.25, 1.8);
    figure.phase = random_.Uniform();
    figure.rgb = OneOf(kCoats);
    if (kind == "walker") figure.vx_m_s = (random_.Chance(0.5) ? 1 : -1) * random_.Uniform(0.8, 1.6);
    return figure;
  }

  Figure Bird() {
    Figure bird;
    bird.kind = "bird";
    bird.vx_m_s = (random_.Chance(0.5) ? 1 : -1) * random_.Uniform(6, 11);
    bird.z_m = random_.Uniform(-30, -6);
    bird.x_m = scene_.camera.x_m - bird.vx_m_s * random_.Uniform(0.5, 2.5);
    bird.y_m = random_.Uniform(4, 12);
    bird.vy_m_s = random_.Normal(0.5);
    bird.size_m = random_.Uniform(0.5, 1.1);
    bird.phase = random_.Uniform();
    bird.rgb = random_.Chance(0.5) ? Rgb{210, 210, 208} : Rgb{60, 58, 56};
    return bird;
  }

  void DrawFigures() {
    const double back = scene_.flight.direction == "left" ? 1.0 : -1.0;
    std::vector<Figure> figures;
    figures.push_back(Person("stomper", back * 1.55, -0.25));
    figures.push_back(Person("stander", back * random_.Uniform(2.5, 3.5), random_.Uniform(-2, -0.5)));
    const int walkers = Is("cluttered") ? 5 : random_.Pick(3);
    for (int i = 0; i < walkers; ++i) {
      figures.push_back(Person("walker", scene_.camera.x_m + random_.Uniform(-9, 9), random_.Uniform(-28, -6)));
    }
    if (Is("birds") || Is("cluttered")) {
      for (int i = 0; i < (Is("birds") ? 5 : 2); ++i) figures.push_back(Bird());
    }
    if (Is("cluttered")) {
      for (int i = 0; i < 3; ++i) {
        Figure flag = Person("flag", scene_.camera.x_m + random_.Uniform(-8, 8), random_.Uniform(-14, -3));
        flag.size_m = random_.Uniform(2, 4);
        figures.push_back(flag);
      }
      Figure ball = Person("ball", scene_.camera.x_m + random_.Uniform(-6, 6), random_.Uniform(-16, -8));
      ball.y_m = 1.5;
      ball.vx_m_s = random_.Normal(4.0);
      ball.vy_m_s = random_.Uniform(5, 9);
      ball.size_m = 0.2;
      ball.start_s = random_.Uniform(0.2, 1.6);
      figures.push_back(ball);
    }
    if (Is("hand")) {
      const Trajectory flight(LaunchOf(scene_));
      Figure hand = Person("hand", random_.Uniform(0.3, 0.7), 0);
      hand.size_m = random_.Uniform(0.8, 1.2);
      hand.start_s = scene_.flight.launch_s + random_.Uniform(0.2, 0.6) * flight.flight_time_s();
      hand.rgb = {206, 160, 130};
      figures.push_back(hand);
    }
    scene_.figures = figures;
  }

  void DrawSurvey() {
    SurveyHabits& survey = scene_.survey;
    survey.mark_std_px = random_.Uniform(0.5, 1.0);
    survey.length_std_m = random_.Uniform(0.004, 0.012);
    survey.depth_std_m = random_.Uniform(0.03, 0.08);
    survey.distance_std_m = random_.Chance(0.9) ? random_.Uniform(0.04, 0.12) : 0.0;
    survey.view_std_deg = random_.Chance(0.85) ? random_.Uniform(1, 3) : 0.0;
    survey.tilt_std_deg = random_.Chance(0.9) ? 0.3 : 0.0;  // the phone's own level
    survey.yaw_std_deg = random_.Uniform(0.6, 0.9);         // squared up with the poles by eye
    survey.roll_std_deg = random_.Chance(0.9) ? 0.3 : 0.0;
    survey.readout_std_s = Is("fast-rate") ? 0.0004 : random_.Uniform(0.001, 0.0025);
    survey.wind_std_m_s = random_.Uniform(0.2, 0.4);
    survey.plumb_mark = random_.Chance(0.8);
    survey.gives_distortion = random_.Chance(0.3);
    // Common practice: phones code 1080p at 60 a second with 12 to 25 Mbit/s. The encoder's quickest settings would
    // leave ghosts of faint moving things, which a phone's do not.
    scene_.coding.bitrate_mbit_s = random_.Uniform(12, 22);
    scene_.coding.preset = "fast";
  }

  std::string condition_;
  Random random_;
  Scene scene_;
};

}  // namespace

const std::vector<std::string>& SampleConditions() {
  static const std::vector<std::string> conditions{
      "whole-arc", "launch-only", "portrait", "fast-rate", "variable-rate", "left", "cluttered", "evening"};
  return conditions;
}

Expected<Scene> SampleKind(const std::string& kind, const std::string& label, std::uint64_t seed) {
  return Sampler(kind, label, seed).Sample();
}

Expected<Scene> SampleScene(const std::string& condition, std::uint64_t seed) {
  const auto in = [&condition](const std::vector<std::string>& list) {
    return std::find(list.begin(), list.end(), condition) != list.end();
  };
  if (in(IntervalConditions()) || condition == DragChangeCondition()) return SampleIntervalScene(condition, seed);
  if (in(TrackerConditions())) return SampleTrackerScene(condition, seed);
  if (!in(SampleConditions()) && condition != "hand" && condition != "birds") {
    Error error;
    error.kind = ErrorKind::kInvalidInput;
    error.code = "bad-value";
    error.message = "there is no condition \"" + condition + "\".";
    return error;
  }
  return SampleKind(condition, condition, seed);
}

}  // namespace loftline::render
