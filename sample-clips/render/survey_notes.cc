// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/survey_notes.h"

#include "sample-clips/render/random.h"

#include <cmath>

namespace loftline::render {
namespace {

// To a step whose reciprocal is whole, so that the number prints short.
double Rounded(double value, double step) {
  return std::round(value / step) / std::round(1 / step);
}

class NoteTaker {
 public:
  NoteTaker(const Scene& scene, const CameraMotion& camera)
      : scene_(scene), camera_(camera), shutter_(scene.timing, scene.picture), random_(SeedFor(scene.seed, 3)) {}

  Notes Write() {
    Notes notes;
    const SurveyHabits& habits = scene_.survey;
    notes.survey["format"] = "loftline.survey";
    notes.survey["format_version"] = 1;
    notes.survey["image"] = {
        {"width_px", scene_.picture.width_px}, {"height_px", scene_.picture.height_px}, {"frame", 0}};
    notes.survey["camera"] = Camera();
    notes.survey["marks"] = Marks();
    notes.survey["launch"] = {{"px", Mark({0, 0, 0})},
                              {"height_above_landing_m", Rounded(scene_.flight.height_above_landing_m, 0.01)}};
    notes.survey["timing"] = TimingNotes();
    notes.survey["air"] = AirNotes();
    notes.mass_g = Measure(scene_.rocket.mass_kg * 1e3, habits.mass_std_kg * 1e3, 0.01);
    notes.mass_std_g = habits.mass_std_kg * 1e3;
    notes.diameter_mm = Measure(scene_.rocket.diameter_m * 1e3, habits.diameter_std_m * 1e3, 0.01);
    notes.diameter_std_mm = habits.diameter_std_m * 1e3;
    return notes;
  }

 private:
  double Measure(double truth, double std, double step) { return Rounded(truth + random_.Normal(std), step); }

  nlohmann::ordered_json Mark(const Eigen::Vector3d& at_m) {
    const Eigen::Vector2d px = SightingIn(0.0, camera_, shutter_, [&at_m](double) { return Eigen::Vector3d(at_m); }).px;
    const double x = Measure(px.x(), scene_.survey.mark_std_px, 0.1);
    return {x, Measure(px.y(), scene_.survey.mark_std_px, 0.1)};
  }

  void Note(nlohmann::ordered_json& to,
            const std::string& name,
            const std::string& unit,
            double truth,
            double std,
            double step) {
    const double value =
        Measure(truth, std, step);  // drawn even when not written, so that habits do not shift each other
    if (std <= 0) return;
    to[name + unit] = value;
    to[name + "_std" + unit] = Rounded(std, 1e-4);
  }

  nlohmann::ordered_json Camera() {
    nlohmann::ordered_json camera = nlohmann::ordered_json::object();
    const SurveyHabits& habits = scene_.survey;
    Note(camera, "horizontal_view", "_deg", scene_.camera.horizontal_view_deg, habits.view_std_deg, 0.1);
    Note(camera, "distance", "_m", scene_.camera.distance_m, habits.distance_std_m, 0.01);
    Note(camera, "tilt", "_deg", scene_.camera.tilt_deg, habits.tilt_std_deg, 0.1);
    Note(camera, "roll", "_deg", scene_.camera.roll_deg, habits.roll_std_deg, 0.1);
    Note(camera, "yaw", "_deg", scene_.camera.yaw_deg, habits.yaw_std_deg, 0.1);
    if (habits.gives_distortion) {
      camera["distortion"] = {
          {"k1", scene_.camera.k1}, {"k2", scene_.camera.k2}, {"p1", scene_.camera.p1}, {"p2", scene_.camera.p2}};
    }
    return camera;
  }

  nlohmann::ordered_json Marks() {
    const SurveyHabits& habits = scene_.survey;
    const double ground_m = -scene_.flight.height_above_landing_m;
    const double slope_m = random_.Normal(habits.level_std_m);
    const Eigen::Vector3d left(habits.pole_left_m, ground_m + habits.pole_height_m, habits.pole_z_m);
    const Eigen::Vector3d right(habits.pole_right_m, ground_m + habits.pole_height_m + slope_m, habits.pole_z_m);
    nlohmann::ordered_json baseline;
    baseline["kind"] = "baseline";
    baseline["from_px"] = Mark(left);
    baseline["to_px"] = Mark(right);
    baseline["length_m"] = Measure((right - left).norm(), habits.length_std_m, 0.001);
    baseline["length_std_m"] = Rounded(habits.length_std_m, 1e-4);
    baseline["lies"] = "level";
    baseline["mark_std_px"] = Rounded(habits.mark_std_px, 1e-4);
    baseline["depth_offset_m"] = Measure(habits.pole_z_m, habits.depth_std_m, 0.01);
    baseline["depth_offset_std_m"] = Rounded(habits.depth_std_m, 1e-4);
    nlohmann::ordered_json marks = nlohmann::ordered_json::array({baseline});
    nlohmann::ordered_json plumb;
    plumb["kind"] = "line";
    plumb["from_px"] = Mark(left);
    plumb["to_px"] = Mark({habits.pole_left_m, ground_m + 0.05, habits.pole_z_m});
    plumb["lies"] = "plumb";
    plumb["mark_std_px"] = Rounded(habits.mark_std_px, 1e-4);
    if (habits.plumb_mark) marks.push_back(plumb);
    return marks;
  }

  nlohmann::ordered_json TimingNotes() {
    nlohmann::ordered_json timing = nlohmann::ordered_json::object();
    if (scene_.survey.gives_capture_rate) timing["capture_rate_hz"] = scene_.timing.capture_rate_hz;
    Note(timing, "readout", "_s", scene_.timing.readout_s, scene_.survey.readout_std_s, 0.0001);
    return timing;
  }

  nlohmann::ordered_json AirNotes() {
    const Air& air = scene_.air;
    nlohmann::ordered_json notes = {{"temperature_c", Measure(air.temperature_c, 0.3, 0.1)},
                                    {"pressure_hpa", Measure(air.pressure_hpa, 0.5, 0.1)},
                                    {"humidity_percent", std::min(100.0, Measure(air.humidity_percent, 3.0, 1.0))}};
    Note(notes, "wind_along", "_m_s", air.wind_along_m_s, scene_.survey.wind_std_m_s, 0.1);
    notes["latitude_deg"] = Rounded(air.latitude_deg, 0.1);
    notes["elevation_m"] = Rounded(air.elevation_m, 1.0);
    return notes;
  }

  const Scene& scene_;
  const CameraMotion& camera_;
  Shutter shutter_;
  Random random_;
};

}  // namespace

Notes WriteNotes(const Scene& scene, const CameraMotion& camera) {
  return NoteTaker(scene, camera).Write();
}

}  // namespace loftline::render
