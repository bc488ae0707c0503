// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/camera_model.h"
#include "calibrate/survey.h"

#include <string>

namespace loftline::test {

// A careful survey of a meadow: 8 m between two poles, the phone ACROSS_M to the right of the launch point, everything
// measured.
inline Survey CarefulSurvey(double distance_m = 20.0, double tilt_deg = 12.0, double across_m = 10.0) {
  Camera camera;
  camera.width_px = 1920;
  camera.height_px = 1080;
  camera.parameters[kFocalPx] = FocalPxFromView(RadFromDeg(66.0), camera.width_px);
  camera.parameters[kTiltRad] = RadFromDeg(tilt_deg);
  camera.parameters[kCameraXM] = across_m;
  camera.parameters[kCameraYM] = 0.9;
  camera.parameters[kDistanceM] = distance_m;
  Survey survey;
  survey.file = "meadow.survey.json";
  survey.width_px = camera.width_px;
  survey.height_px = camera.height_px;
  BaselineMark poles;
  poles.from_px = camera.PxFromPlane({2.0, 0.6});
  poles.to_px = camera.PxFromPlane({10.0, 0.6});
  poles.length_m = 8.0;
  poles.length_std_m = 0.005;
  poles.lies = Lies::kLevel;
  poles.mark_std_px = 0.7;
  poles.depth_offset_m = 0.0;
  poles.depth_offset_std_m = 0.03;
  survey.marks.emplace_back(poles);
  survey.launch.px = camera.PxFromPlane({0.0, 0.0});
  survey.launch.height_above_landing_m = 0.4;
  survey.camera.horizontal_view_deg = 66.0;
  survey.camera.horizontal_view_std_deg = 1.0;
  survey.camera.distance_m = distance_m;
  survey.camera.distance_std_m = 0.05;
  survey.camera.tilt_deg = tilt_deg;
  survey.camera.tilt_std_deg = 0.3;
  survey.camera.roll_deg = 0.0;
  survey.camera.roll_std_deg = 0.3;
  survey.camera.yaw_deg = 0.0;
  survey.camera.yaw_std_deg = 0.2;
  survey.timing.readout_s = 0.012;
  survey.timing.readout_std_s = 0.001;
  survey.air.wind_along_m_s = 0.0;
  survey.air.wind_along_std_m_s = 0.4;
  survey.air.temperature_c = 18.0;
  survey.air.pressure_hpa = 1013.0;
  survey.air.humidity_percent = 60.0;
  survey.air.latitude_deg = 52.0;
  survey.air.elevation_m = 20.0;
  return survey;
}

}  // namespace loftline::test
