// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/survey.h"
#include "tracker/track.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline {

// Tracks with known truth, for tests: the path by GSL's integrator, the camera by cv::projectPoints, so that nothing is
// shared with calibrate/ and fit/.
struct SyntheticScene {
  double speed_m_s = 20.0, angle_deg = 60.0, azimuth_deg = 0.0;
  bool to_the_left = false;
  double drag_per_m = 0.02, wind_along_m_s = 0.0, gravity_m_s2 = 9.80665;
  double height_above_landing_m = 0.4;
  int width_px = 1920, height_px = 1080, rotation_deg = 0;
  double horizontal_view_deg = 65.0;
  double k1 = 0.0, k2 = 0.0, p1 = 0.0, p2 = 0.0;
  double yaw_deg = 0.0, tilt_deg = 6.0, roll_deg = 0.0;
  double camera_x_m = 8.0, camera_y_m = 1.1, distance_m = 20.0;  // from the launch point
  double rate_hz = 60.0, readout_s = 0.016;
  double first_seen_s = 0.05, last_seen_s = 1e9;  // after launch; also cut at the landing and the picture's border
  double noise_px = 0.2;
  double mark_noise_px = 0.7;
  double baseline_m = 10.0, baseline_length_error_m = 0.0, baseline_depth_m = 0.0;
  double slow_motion = 1.0;  // capture rate over stored rate
  // From that moment after launch the drag is that many times as large.
  double drag_change_s = 1e9, drag_change_factor = 1.0;
  // How far the middle as seen lies from the middle as it flies: ahead along the path, and to the left of it (up, for a
  // flight to the right) within the plane, the latter in proportion to sine and cosine of the path's elevation.
  double body_along_m = 0.0, shade_by_sine_m = 0.0, shade_by_cosine_m = 0.0;
  std::uint64_t seed = 1;
};

struct SyntheticTruth {
  double launch_speed_m_s, launch_angle_deg, drag_per_m, apogee_m, time_to_apogee_s, range_m, flight_time_s,
      impact_speed_m_s, terminal_speed_m_s;
};

struct SyntheticFlight {
  Track track;
  Survey survey;
  SyntheticTruth truth;
};

// The survey names the baseline (level, 2 cm above the landing level), the launch point, the readout, and nothing else.
SyntheticFlight Synthesize(const SyntheticScene& scene);

// Its three parts, without noise. The pixel at which a world point is seen:
Eigen::Vector2d SyntheticPx(const SyntheticScene& scene, const Eigen::Vector3d& in_world_m);
// The pixels at which the flight is seen on frames with these time stamps, seconds after the launch, each row at its
// own time; inside the picture or not.
std::vector<Eigen::Vector2d> SyntheticPixels(const SyntheticScene& scene, const std::vector<double>& stamps_s);
// Places and velocities in the world (metres, m/s) at these times since the launch.
struct SyntheticState {
  Eigen::Vector3d at_m, velocity_m_per_s;
};
std::vector<SyntheticState> SyntheticStates(const SyntheticScene& scene, const std::vector<double>& times_s);
SyntheticTruth SyntheticTruthOf(const SyntheticScene& scene);

// A seed made from a test's name, so that each test has its own and always the same.
std::uint64_t SeedFrom(const std::string& name);

}  // namespace loftline
