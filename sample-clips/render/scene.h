// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline::render {

// Everything that decides how a rendered clip looks, and so its truth: one scene, one seed, one clip. SI units except
// where the name says otherwise. World frame: origin at the tube's mouth, x to the camera's right, y up, z towards the
// camera.

struct Picture {
  int width_px = 1920;  // of the upright picture
  int height_px = 1080;
  int rotation_deg = 0;  // clockwise turn from the stored to the upright picture: 0, 90, 180, 270
};

struct CameraPlace {
  double horizontal_view_deg = 66.0;  // of the upright picture
  double k1 = 0.0, k2 = 0.0, p1 = 0.0, p2 = 0.0;
  double x_m = 5.0;          // along the flight plane
  double height_m = 0.8;     // above the tube's mouth
  double distance_m = 15.0;  // along the plane's normal
  double yaw_deg = 0.0;      // positive to the camera's right, then
  double tilt_deg = 8.0;     // positive looking up, then
  double roll_deg = 0.0;     // positive clockwise as the user sees the camera
};

// How the phone is held: on a stand (all zero), in the hand, or panned after the rocket. Root mean squares over a long
// time, of each of yaw and tilt; 0.04 degrees is about one pixel at 1080p. CameraPlace is then the pose of frame 0.
struct Handling {
  double drift_deg = 0.0;  // slow wandering, below 1 Hz
  double shake_deg = 0.0;  // 1 to 12 Hz
  double roll_deg = 0.0;   // mostly slow
  double follow = 0.0;     // share of the rocket's way off the first aim that the hand makes up for; 0: no panning
  double follow_delay_s = 0.15;
  double follow_hz = 1.4;  // natural frequency and damping ratio of the arm that follows
  double follow_damping = 0.75;
};

struct Timing {
  double capture_rate_hz = 60.0;  // of the sensor
  double stored_rate_hz = 0.0;    // of the time stamps where they are stretched; 0: real time
  bool capture_tag = false;       // write the rate of the sensor as metadata
  double duration_s = 3.5;        // real time
  double jitter_s = 0.0;          // spread of the steps between frames
  double drop_share = 0.0;        // share of frames that the phone leaves out
  double readout_s = 0.012;       // from the first to the last sensor row
  double exposure_s = 0.001;
};

struct Rocket {
  double length_m = 0.28;
  double diameter_m = 0.024;
  double mass_kg = 0.008;
  double nose_share = 0.18;  // of the length
  double nose_power = 0.6;   // radius grows with the distance from the tip to this power: 1 cone, 0.5 blunt
  int fins = 4;
  double fin_span_m = 0.022;
  double fin_chord_m = 0.040;
  double spin_hz = 1.0;
  std::array<int, 3> body_rgb{238, 236, 228};
  std::array<int, 3> nose_rgb{238, 236, 228};
  std::array<int, 3> fin_rgb{205, 80, 50};
};

struct Flight {
  double launch_s = 0.8;  // the body's middle passes the tube's mouth
  double speed_m_s = 18.0;
  double elevation_deg = 60.0;
  double azimuth_deg = 0.0;  // out of the plane, positive towards the camera
  std::string direction = "right";
  double drag_coefficient = 0.55;
  double drag_change_s = 0.0, drag_change_factor = 1.0;  // from that moment after the launch: it has lost a fin
  double height_above_landing_m = 0.6;
  double wobble_deg = 3.0;  // of the axis about the relative wind, fading
  double wobble_hz = 5.0;
  double wobble_decay_s = 0.5;
  std::string landing = "sticks";  // or "lies"
};

struct Air {
  double temperature_c = 14.0;
  double pressure_hpa = 1013.0;
  double humidity_percent = 70.0;
  double wind_along_m_s = 0.0;  // positive with the launch direction
  double latitude_deg = 54.0;
  double elevation_m = 3.0;
};

struct Look {
  std::array<int, 3> sky_high_rgb{96, 142, 198};
  std::array<int, 3> sky_low_rgb{196, 212, 226};
  std::array<int, 3> ground_rgb{128, 118, 98};
  std::array<int, 3> tree_rgb{62, 78, 48};
  double gain = 1.0;             // exposure
  double exposure_drift = 0.01;  // relative, slow
  double clouds = 0.5;           // 0 none, 1 overcast with gaps, 2 overcast
  double cloud_relief = 0.22;    // light and shade in them
  double cloud_drift_px_s = 5.0;
  double tree_height_deg = 3.0;  // above the horizon
  double tree_gaps = 0.3;        // how ragged the crowns are
  double sway_px = 0.8;          // leaves and grass
  double sun_right = -0.5, sun_up = 0.7, sun_front = 0.5;
  double blur_px = 1.3;         // width of an edge, lens and demosaicing
  double read_noise = 0.0015;   // standard deviation in linear light, white = 1
  double shot_noise = 0.00012;  // variance per linear light
  double sharpening = 0.25;
};

// Something else than the rocket. KIND: walker, stander, stomper (jumps on the bottle), jumper (jumps all the time),
// bird, ball, stick (thrown, tumbling), leaf (falling), shadow (on the ground), flag, hand, post, tree.
struct Figure {
  std::string kind = "walker";
  double x_m = 0.0, y_m = 0.0, z_m = -8.0;  // at start_s; y from the ground up, of what is in the air
  double vx_m_s = 0.0, vy_m_s = 0.0, vz_m_s = 0.0;
  double start_s = 0.0;  // hand and ball: when it comes
  double size_m = 1.6;   // height, wing span, diameter, length
  double width_m = 0.3;  // of a post, a tree
  double phase = 0.0;
  std::array<int, 3> rgb{60, 70, 120};
};

// What a careful person writes down, and how well. A standard deviation of zero leaves the item out of the survey.
struct SurveyHabits {
  double pole_left_m = 1.0;  // x of the two poles
  double pole_right_m = 9.0;
  double pole_z_m = 0.3;       // nearer to the camera than the flight
  double pole_height_m = 1.2;  // of the marks on the poles above the ground
  double mark_std_px = 0.7;
  double length_std_m = 0.005;
  double depth_std_m = 0.1;
  double level_std_m = 0.004;  // how level the marks on the poles really are; nobody writes that down
  double view_std_deg = 2.0;
  double distance_std_m = 0.15;
  double tilt_std_deg = 0.5;
  double roll_std_deg = 0.0;
  double yaw_std_deg = 2.0;
  double readout_std_s = 0.002;
  double wind_std_m_s = 0.3;
  double mass_std_kg = 0.0001;
  double diameter_std_m = 0.0002;
  bool plumb_mark = true;
  bool gives_distortion = false;
  bool gives_capture_rate = false;
};

struct Coding {
  std::string codec = "h264";   // or hevc
  double bitrate_mbit_s = 0.0;  // 0: constant quality
  double quality = 23.0;        // the encoder's constant rate factor
  double key_interval_s = 1.0;
  std::string preset = "veryfast";
};

struct Scene {
  std::string name = "scene";
  std::uint64_t seed = 1;
  bool has_rocket = true;
  Picture picture;
  CameraPlace camera;
  Handling handling;
  Timing timing;
  Rocket rocket;
  Flight flight;
  Air air;
  Look look;
  std::vector<Figure> figures;
  SurveyHabits survey;
  Coding coding;
  std::string design = "none";  // for the day table
  int launch = 1;
};

// Unknown keys are errors; absent ones take the defaults above. Errors: "cannot-read", "bad-json", "unknown-key",
// "bad-value".
Expected<Scene> ReadScene(const std::filesystem::path& path);
nlohmann::ordered_json SceneAsJson(const Scene& scene);

}  // namespace loftline::render
