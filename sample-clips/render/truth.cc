// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/truth.h"

#include <cmath>

namespace loftline::render {
namespace {

// To a step whose reciprocal is whole, so that the number prints short.
double Rounded(double value, double step) {
  return std::round(value / step) / std::round(1 / step);
}

nlohmann::ordered_json Pair(const Eigen::Vector2d& px) {
  if (!px.allFinite()) return nullptr;
  return {Rounded(px.x(), 1e-4), Rounded(px.y(), 1e-4)};
}

nlohmann::ordered_json Rows(const Eigen::Matrix3d& matrix) {
  auto rows = nlohmann::ordered_json::array();
  for (int i = 0; i < 3; ++i) rows.push_back({matrix(i, 0), matrix(i, 1), matrix(i, 2)});
  return rows;
}

}  // namespace

TruthPoint TruthAt(const FrameTime& frame,
                   const CameraMotion& camera,
                   const BodyMotion& motion,
                   const Shutter& shutter,
                   const Scene& scene) {
  TruthPoint point;
  point.frame = frame;
  const Sighting seen =
      SightingIn(frame.time_s, camera, shutter, [&motion](double at_s) { return motion.At(at_s).middle_m; });
  point.middle_px = seen.px;
  point.row_time_s = seen.row_time_s;
  const Lens lens = camera.At(point.row_time_s);
  const BodyPose pose = motion.At(point.row_time_s);
  point.state = pose.state;
  const Eigen::Vector3d half = 0.5 * scene.rocket.length_m * pose.axis;
  point.tail_px = lens.PxFromWorld(pose.middle_m - half);
  point.tip_px = lens.PxFromWorld(pose.middle_m + half);
  const bool inside = point.middle_px.x() >= 0 && point.middle_px.y() >= 0 &&
                      point.middle_px.x() <= scene.picture.width_px - 1 &&
                      point.middle_px.y() <= scene.picture.height_px - 1;
  point.visible = inside && scene.has_rocket;
  if (!point.visible) point.hidden_share = 1.0;
  if (camera.moves()) point.reference_from_frame = ReferenceFromFrame(frame.time_s, camera, shutter);
  return point;
}

nlohmann::ordered_json TruthAsJson(const Scene& scene,
                                   const CameraMotion& camera,
                                   const BodyMotion& motion,
                                   const std::vector<TruthPoint>& points) {
  const Trajectory& flight = motion.trajectory();
  const double k = DragPerM(scene);
  nlohmann::ordered_json truth;
  truth["format"] = "loftline.truth";
  truth["format_version"] = 1;
  truth["name"] = scene.name;
  if (!scene.has_rocket) truth["has_rocket"] = false;  // what follows was drawn, but not shown
  truth["flight"] = {{"direction", scene.flight.direction},
                     {"launch_s", scene.flight.launch_s},
                     {"launch_speed_m_s", scene.flight.speed_m_s},
                     {"launch_angle_deg", scene.flight.elevation_deg},
                     {"azimuth_deg", scene.flight.azimuth_deg},
                     {"drag_per_m", k},
                     {"drag_coefficient", scene.flight.drag_coefficient},
                     {"mass_kg", scene.rocket.mass_kg},
                     {"diameter_m", scene.rocket.diameter_m},
                     {"apogee_m", flight.apogee_m()},
                     {"time_to_apogee_s", flight.time_to_apogee_s()},
                     {"range_m", flight.range_m()},
                     {"flight_time_s", flight.flight_time_s()},
                     {"impact_speed_m_s", flight.impact_speed_m_s()},
                     {"terminal_speed_m_s", std::sqrt(flight.launch().gravity_m_s2 / k)},
                     {"launch_energy_j", 0.5 * scene.rocket.mass_kg * scene.flight.speed_m_s * scene.flight.speed_m_s},
                     {"height_above_landing_m", scene.flight.height_above_landing_m}};
  truth["air"] = {{"density_kg_m3", AirDensityKgPerM3(scene.air)},
                  {"gravity_m_s2", GravityMPerS2(scene.air)},
                  {"wind_along_m_s", scene.air.wind_along_m_s}};
  const nlohmann::ordered_json all = SceneAsJson(scene);
  truth["camera"] = all["camera"];
  truth["timing"] = all["timing"];
  truth["columns"] = {"ticks",
                      "time_stamp_s",
                      "real_time_s",
                      "row_time_s",
                      "middle_px",
                      "tail_px",
                      "tip_px",
                      "state",
                      "hidden_share",
                      "visible"};
  if (camera.moves()) {
    truth["handling"] = all["handling"];
    truth["columns"].push_back("reference_from_frame");
  }
  const double stretch =
      scene.timing.stored_rate_hz > 0 ? scene.timing.capture_rate_hz / scene.timing.stored_rate_hz : 1.0;
  bool apogee_seen = false, landing_seen = false;
  auto frames = nlohmann::ordered_json::array();
  const double apogee_s = scene.flight.launch_s + flight.time_to_apogee_s(), landing_s = motion.landing_s();
  const double step_s = 1.5 / scene.timing.capture_rate_hz;
  for (const TruthPoint& point : points) {
    apogee_seen = apogee_seen || (point.visible && std::abs(point.row_time_s - apogee_s) < step_s);
    landing_seen =
        landing_seen || (point.visible && point.row_time_s < landing_s && point.row_time_s > landing_s - 2 * step_s);
    frames.push_back({point.frame.ticks,
                      Rounded(static_cast<double>(point.frame.ticks) / kTicksPerS, 1e-7),
                      Rounded(static_cast<double>(point.frame.ticks) / kTicksPerS / stretch, 1e-7),
                      Rounded(point.row_time_s, 1e-7),
                      Pair(point.middle_px),
                      Pair(point.tail_px),
                      Pair(point.tip_px),
                      NameOf(point.state),
                      Rounded(point.hidden_share, 1e-3),
                      point.visible});
    if (camera.moves()) frames.back().push_back(Rows(point.reference_from_frame));
  }
  truth["seen"] = {{"apogee_in_view", apogee_seen}, {"landing_in_view", landing_seen}};
  truth["frames"] = frames;
  return truth;
}

}  // namespace loftline::render
