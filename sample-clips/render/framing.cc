// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/framing.h"

#include "sample-clips/render/lens.h"
#include "sample-clips/render/trajectory.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::render {
namespace {

constexpr double kDegPerRad = 180.0 / std::numbers::pi;
constexpr double kPhoneHeight_m = 1.45;
constexpr double kDistanceStep_m = 0.25;

struct Wanted {
  std::vector<Eigen::Vector3d> points_m;
  Eigen::Vector3d low = Eigen::Vector3d::Constant(1e9), high = Eigen::Vector3d::Constant(-1e9);
  void Add(const Eigen::Vector3d& at_m) {
    points_m.push_back(at_m);
    low = low.cwiseMin(at_m);
    high = high.cwiseMax(at_m);
  }
};

Wanted WantedOf(const Framing& framing, const Scene& scene, const Trajectory& flight) {
  Wanted wanted;
  const double back = scene.flight.direction == "left" ? 1.0 : -1.0;
  wanted.Add({back * 1.0, -scene.flight.height_above_landing_m - 0.25, 0.3});
  wanted.Add({back * 1.0, 0.3, 0.0});
  const double until_s = framing.flight_share * flight.flight_time_s();
  for (int i = 0; i <= 40; ++i)
    wanted.Add(flight.At(until_s * i / 40).at_m + Eigen::Vector3d(0, i < 40 ? 0.25 : 0.0, 0));
  if (framing.flight_share >= 1.0) {
    wanted.Add(flight.At(flight.flight_time_s()).at_m + Eigen::Vector3d(-back * 0.4, -0.3, 0));
  }
  return wanted;
}

bool Inside(const Lens& lens, const Scene& scene, const Eigen::Vector3d& at_m, double margin_px) {
  const Eigen::Vector2d px = lens.PxFromWorld(at_m);
  return lens.DepthOf(at_m) > 1 && px.x() > margin_px && px.y() > margin_px &&
         px.x() < scene.picture.width_px - 1 - margin_px && px.y() < scene.picture.height_px - 1 - margin_px;
}

void Aim(const Wanted& wanted, double distance_m, Scene& scene) {
  CameraPlace& camera = scene.camera;
  camera.distance_m = distance_m;
  camera.height_m = kPhoneHeight_m - scene.flight.height_above_landing_m;
  camera.x_m = 0.5 * (wanted.low.x() + wanted.high.x()) - distance_m * std::tan(camera.yaw_deg / kDegPerRad);
  const double down = std::atan2(wanted.low.y() - camera.height_m, distance_m);
  const double up = std::atan2(wanted.high.y() - camera.height_m, distance_m);
  camera.tilt_deg = 0.5 * (down + up) * kDegPerRad;
}

}  // namespace

bool SetPoles(Random& random, Scene& scene) {
  return SetPolesAt(random.Uniform(0.05, 0.6), scene);
}

bool SetPolesAt(double pole_z_m, Scene& scene) {
  SurveyHabits& survey = scene.survey;
  const Lens lens(scene.camera, scene.picture);
  const double mark_y_m = survey.pole_height_m - scene.flight.height_above_landing_m;
  const double side = scene.flight.direction == "left" ? -1.0 : 1.0;
  survey.pole_z_m = pole_z_m;
  for (const double length_m : {12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0}) {
    for (int i = 0; i < 10; ++i) {
      const double start_m = 0.8 - 0.2 * i;
      const double a = side * start_m, b = side * (start_m + length_m);
      const auto shows = [&](double x_m) {
        return Inside(lens, scene, {x_m, mark_y_m + 0.2, survey.pole_z_m}, 12) &&
               Inside(lens, scene, {x_m, mark_y_m - survey.pole_height_m, survey.pole_z_m}, 4);
      };
      if (!shows(a) || !shows(b)) continue;
      survey.pole_left_m = std::min(a, b);
      survey.pole_right_m = std::max(a, b);
      return true;
    }
  }
  return false;
}

bool Frame(const Framing& framing, Random& random, Scene& scene) {
  const Trajectory flight(LaunchOf(scene));
  const Wanted wanted = WantedOf(framing, scene, flight);
  const double spare = random.Uniform(1.01, 1.12);
  const int steps = static_cast<int>(std::floor((framing.farthest_m / spare - framing.nearest_m) / kDistanceStep_m));
  for (int i = 0; i <= steps; ++i) {
    const double distance_m = framing.nearest_m + kDistanceStep_m * i;
    Aim(wanted, distance_m, scene);
    const Lens lens(scene.camera, scene.picture);
    const bool fits = std::all_of(wanted.points_m.begin(), wanted.points_m.end(), [&](const Eigen::Vector3d& p) {
      return Inside(lens, scene, p, framing.margin_px);
    });
    if (!fits) continue;
    if (!framing.apogee_outside) Aim(wanted, distance_m * spare, scene);
    const Lens final_lens(scene.camera, scene.picture);
    const bool apogee_shows = Inside(final_lens, scene, flight.At(flight.time_to_apogee_s()).at_m, -30);
    return apogee_shows != framing.apogee_outside && SetPoles(random, scene);
  }
  return false;
}

}  // namespace loftline::render
