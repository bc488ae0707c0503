// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// calibrate: from a survey of the scene to a camera that maps pixels to metres in the flight plane. It knows nothing of
// video. In: a Survey (marks in pixels, lengths, angles, each with its uncertainty). Out: the camera's parameters with
// their covariance, and a list of all that had to be assumed. Frames: camera_model.h.
// Refuses: "no-scale" (nothing in the survey has metres in it), "survey-contradicts" (the marks cannot all be true).
#pragma once

#include "calibrate/assumed.h"
#include "calibrate/camera_model.h"
#include "calibrate/survey.h"
#include "core/expected.h"

#include <vector>

namespace loftline {

struct Calibration {
  Camera camera;
  std::vector<Assumed> assumed;
  Eigen::Vector2d launch_px = Eigen::Vector2d::Zero();  // where the world's origin is in the picture
  bool launch_marked = false;                           // false: the survey names no launch point
  Measured scale_m_per_px_at_launch;                    // geometric mean of across and along the vertical
  Measured horizontal_view_deg, tilt_deg, roll_deg, yaw_deg, distance_m;
  double chi2 = 0.0;  // of the marks and what was said of the camera
  int dof = 0;
};

Expected<Calibration> CalibrateCamera(const Survey& survey);

// Metres a pixel in the flight plane at the world's origin (geometric mean over directions), with the standard
// uncertainty that the camera's covariance gives it.
Measured ScaleMPerPxAtOrigin(const Camera& camera);

}  // namespace loftline
