// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/scene.h"

#include <fstream>

namespace loftline::render {

NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Picture, width_px, height_px, rotation_deg)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(
    CameraPlace, horizontal_view_deg, k1, k2, p1, p2, x_m, height_m, distance_m, yaw_deg, tilt_deg, roll_deg)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(
    Handling, drift_deg, shake_deg, roll_deg, follow, follow_delay_s, follow_hz, follow_damping)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(
    Timing, capture_rate_hz, stored_rate_hz, capture_tag, duration_s, jitter_s, drop_share, readout_s, exposure_s)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Rocket,
                                                length_m,
                                                diameter_m,
                                                mass_kg,
                                                nose_share,
                                                nose_power,
                                                fins,
                                                fin_span_m,
                                                fin_chord_m,
                                                spin_hz,
                                                body_rgb,
                                                nose_rgb,
                                                fin_rgb)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Flight,
                                                launch_s,
                                                speed_m_s,
                                                elevation_deg,
                                                azimuth_deg,
                                                direction,
                                                drag_coefficient,
                                                drag_change_s,
                                                drag_change_factor,
                                                height_above_landing_m,
                                                wobble_deg,
                                                wobble_hz,
                                                wobble_decay_s,
                                                landing)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(
    Air, temperature_c, pressure_hpa, humidity_percent, wind_along_m_s, latitude_deg, elevation_m)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Look,
                                                sky_high_rgb,
                                                sky_low_rgb,
                                                ground_rgb,
                                                tree_rgb,
                                                gain,
                                                exposure_drift,
                                                clouds,
                                                cloud_relief,
                                                cloud_drift_px_s,
                                                tree_height_deg,
                                                tree_gaps,
                                                sway_px,
                                                sun_right,
                                                sun_up,
                                                sun_front,
                                                blur_px,
                                                read_noise,
                                                shot_noise,
                                                sharpening)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(
    Figure, kind, x_m, y_m, z_m, vx_m_s, vy_m_s, vz_m_s, start_s, size_m, width_m, phase, rgb)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(SurveyHabits,
                                                pole_left_m,
                                                pole_right_m,
                                                pole_z_m,
                                                pole_height_m,
                                                mark_std_px,
                                                length_std_m,
                                                depth_std_m,
                                                level_std_m,
                                                view_std_deg,
                                                distance_std_m,
                                                tilt_std_deg,
                                                roll_std_deg,
                                                yaw_std_deg,
                                                readout_std_s,
                                                wind_std_m_s,
                                                mass_std_kg,
                                                diameter_std_m,
                                                plumb_mark,
                                                gives_distortion,
                                                gives_capture_rate)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Coding, codec, bitrate_mbit_s, quality, key_interval_s, preset)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE_WITH_DEFAULT(Scene,
                                                name,
                                                seed,
                                                has_rocket,
                                                picture,
                                                camera,
                                                handling,
                                                timing,
                                                rocket,
                                                flight,
                                                air,
                                                look,
                                                figures,
                                                survey,
                                                coding,
                                                design,
                                                launch)

namespace {

Error Bad(const std::string& code, const std::filesystem::path& path, const std::string& message) {
  Error error;
  error.code = code;
  error.message = message;
  error.advice = "See sample-clips/render/scene.h for what a scene holds.";
  error.file = path.string();
  return error;
}

// The first key of GIVEN that KNOWN, the same scene written out in full, does not have; "" when there is none.
std::string UnknownKey(const nlohmann::json& given, const nlohmann::json& known, const std::string& path) {
  if (given.is_array() && known.is_array()) {
    for (std::size_t i = 0; i < given.size() && i < known.size(); ++i) {
      if (std::string key = UnknownKey(given[i], known[i], path + "[" + std::to_string(i) + "]"); !key.empty()) {
        return key;
      }
    }
  }
  if (!given.is_object() || !known.is_object()) return "";
  for (const auto& [key, value] : given.items()) {
    std::string here = path;
    if (!here.empty()) here += '.';
    here += key;
    if (!known.contains(key)) return here;
    if (std::string below = UnknownKey(value, known[key], here); !below.empty()) return below;
  }
  return "";
}

std::string WhyImpossible(const Scene& scene) {
  if (scene.picture.width_px < 64 || scene.picture.height_px < 64) return "the picture is too small";
  if (scene.picture.width_px % 2 != 0 || scene.picture.height_px % 2 != 0) return "picture sizes must be even";
  if (scene.picture.rotation_deg % 90 != 0) return "rotation_deg must be 0, 90, 180 or 270";
  if (scene.timing.readout_s >= 1.0 / scene.timing.capture_rate_hz) return "the readout lasts longer than a frame";
  if (scene.flight.direction != "left" && scene.flight.direction != "right") return "direction must be left or right";
  if (scene.flight.speed_m_s <= 0 || scene.rocket.mass_kg <= 0) return "speed and mass must be above zero";
  return "";
}

}  // namespace

Expected<Scene> ReadScene(const std::filesystem::path& path) {
  std::ifstream file(path);
  if (!file) return Bad("cannot-read", path, "cannot be read.");
  try {
    const nlohmann::json given = nlohmann::json::parse(file);
    const Scene scene = given.get<Scene>();
    if (std::string key = UnknownKey(given, nlohmann::json(scene), ""); !key.empty()) {
      return Bad("unknown-key", path, "the key " + key + " is not known.");
    }
    if (std::string why = WhyImpossible(scene); !why.empty()) return Bad("bad-value", path, why + ".");
    return scene;
  } catch (const nlohmann::json::exception& exception) {
    return Bad("bad-json", path, exception.what());
  }
}

nlohmann::ordered_json SceneAsJson(const Scene& scene) {
  return nlohmann::json(scene);
}

}  // namespace loftline::render
