// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"
#include "sample-clips/render/scene.h"
#include "tests/support/synthetic_flight.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace loftline::accuracy {

// Standard uncertainties of what a survey says or, where it says nothing, of what docs/formats.md says is then assumed.
// Angles in degrees. They are written here a second time on purpose: these are the documented ones.
struct SurveyStds {
  double mark_px = 0.7, launch_mark_px = 0.7;  // the launch point is marked as well as the rest
  double length_m = 0.005, depth_m = 0.1;
  double direction_rad = 0.0015;  // of what is called level or plumb
  double view_deg = 6.0;          // where not given: across the longer side
  double tilt_deg = 10.0, roll_deg = 5.0, yaw_deg = 5.0;
  double distance_m = 0.0;  // 0: not given, and nothing is assumed of it
  double radial = 0.02, tangential = 0.0005;
  double readout_s = 0.008, wind_m_s = 0.7;
  double azimuth_deg = 3.0, body_along_m = 0.03, body_shade_m = 0.004, log_drag = 0.7;
  double height_m = 0.03;
  double slow_px = 0.15, slow_errors = 5.0;  // of a track: so many independent errors a flight (docs/method.md)
};

// A place where a survey is wrong by more than it says, or a flight does what the model does not know.
struct TrackFault {
  double length_factor = 1.0;  // of the written baseline length
  double depth_error_m = 0.0;  // of the written depth
  double unstated_slow_motion = 1.0;
  double drag_factor = 1.0;  // from that share of the flight time on
  double drag_change_share = 0.5;
};

// Covariance of the errors in x, or in y, of a track's points: each its own noise, and a slow error (a Gaussian process
// with a Gaussian correlation) that says as little as SLOW_ERRORS independent ones of SLOW_PX.
Eigen::MatrixXd PathCovariance(const std::vector<double>& stamps_s, double noise_px, const SurveyStds& stds);

// A track with noise and a survey, both made up from one truth without video.
struct SurveyedTrack {
  SyntheticScene scene;  // the truth
  SurveyStds stds;
  bool view_given = false, plumb_given = true;
  std::vector<double> stamps_s;             // of the track's points, true seconds since the launch
  Eigen::Vector3d left_m, right_m, foot_m;  // ends of the baseline; lower end of the plumb line, which starts at LEFT_M

  Track track;
  Survey survey;
  Measured mass_kg, diameter_m;  // as weighed and measured
  std::optional<double> tagged_capture_rate_hz;
  std::map<std::string, double> truths;  // by the names of result.json's "flight"
};

// The track of a rendered scene's launch and camera. What the survey says differs from the truth by what is drawn from
// its standard uncertainties, and what nobody says (lens, azimuth, how the body shows, how level the marks are) from
// what is assumed of it. With SURVEY_SEED the survey and its mistakes are drawn from that alone, so that scenes which
// differ only in rocket and launch share it; its wind is then that of the scene, about which each flight's differs.
SurveyedTrack MakeSurveyedTrack(const render::Scene& scene,
                                std::uint64_t seed,
                                const TrackFault& fault = {},
                                std::optional<std::uint64_t> survey_seed = {});

}  // namespace loftline::accuracy
