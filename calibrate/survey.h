// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// What is known of the scene, as somebody measured or marked it. Optional things that are absent are given documented
// defaults with wide uncertainties by the calibration, which lists them as assumed. Read and written by survey_file.h.

enum class Lies { kLevel, kPlumb, kFree };

struct BaselineMark {  // two ends of a known length, parallel to the flight plane
  Eigen::Vector2d from_px, to_px;
  double length_m = 0.0;
  std::optional<double> length_std_m;
  Lies lies = Lies::kFree;
  std::optional<double> mark_std_px;
  std::optional<double> depth_offset_m;  // positive when nearer to the camera than the flight
  std::optional<double> depth_offset_std_m;
};

struct LineMark {  // two points of something level or plumb, of any length
  Eigen::Vector2d from_px, to_px;
  Lies lies = Lies::kPlumb;
  std::optional<double> mark_std_px;
};

struct PointMark {  // a point of known place in the flight plane
  Eigen::Vector2d px;
  Eigen::Vector2d at_m;
  std::optional<double> mark_std_px;
};

using Mark = std::variant<BaselineMark, LineMark, PointMark>;

struct CameraEvidence {
  std::optional<double> horizontal_view_deg, horizontal_view_std_deg;
  std::optional<double> k1, k2, p1, p2;  // OpenCV's distortion
  std::optional<double> k1_std, k2_std, p1_std, p2_std;
  std::optional<double> k1_k2_correlation;  // between the errors of k1 and k2, -1 to 1; a lens calibration knows it
  std::optional<double> distance_m, distance_std_m;
  std::optional<double> tilt_deg, tilt_std_deg, roll_deg, roll_std_deg, yaw_deg, yaw_std_deg;
};

struct LaunchEvidence {
  std::optional<Eigen::Vector2d> px;
  std::optional<double> height_above_landing_m;
};

struct TimingEvidence {
  std::optional<double> capture_rate_hz;
  std::optional<double> readout_s, readout_std_s;  // first to last sensor row
};

struct AirEvidence {
  std::optional<double> temperature_c, pressure_hpa, humidity_percent;
  std::optional<double> wind_along_m_s, wind_along_std_m_s;  // positive with the launch direction
  std::optional<double> latitude_deg, elevation_m;
};

struct Survey {
  std::string file;  // where it was read from, for messages; empty when made in memory
  int width_px = 0, height_px = 0;
  int frame = 0;
  CameraEvidence camera;
  std::vector<Mark> marks;
  LaunchEvidence launch;
  TimingEvidence timing;
  AirEvidence air;
};

}  // namespace loftline
