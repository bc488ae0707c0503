// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/camera_model.h"

#include <limits>

#include <Eigen/Core>

namespace loftline {

// The unknowns of the flight itself, in one block.
enum MotionParameter {
  kForwardMPerS,   // horizontal speed at the launch point, positive to the camera's right
  kUpMPerS,        // upward speed at the launch point
  kAzimuthRad,     // of the horizontal velocity out of the flight plane, towards the camera where the flight is to the
                   // right
  kLogDrag,        // ln of k in 1/m: positive by construction, and near enough normal where the arc fixes it badly
  kWindXMPerS,     // along the plane's x
  kLogDragChange,  // ln of k after over k before the change; 0 where the drag is taken as steady
  kMotionSize
};
using MotionVector = Eigen::Matrix<double, kMotionSize, 1>;
using MotionMatrix = Eigen::Matrix<double, kMotionSize, kMotionSize>;
// By these keys the parameters stand in files.
inline constexpr const char* kMotionKeys[kMotionSize] = {
    "forward_m_s", "up_m_s", "azimuth_rad", "log_drag_per_m", "wind_x_m_s", "log_drag_change"};

// What the flight takes place in, and what kind of drag it has: not fitted.
struct FlightConditions {
  double gravity_m_per_s2 = 9.80665;
  double drag_change_s = std::numeric_limits<double>::infinity();  // since the launch point
  double reynolds_s_per_m = 0.0;  // Reynolds number for each m/s, of a smooth ball; 0: the drag coefficient is constant
};

// The motion as fitted: enough to fly it again, with what is known of it, and to see it through the same camera.
struct FittedMotion {
  MotionVector values = MotionVector::Zero();
  MotionMatrix covariance = MotionMatrix::Zero();       // of all sources; linearised
  MotionMatrix path_noise_part = MotionMatrix::Zero();  // of it, what comes from the points' own scatter
  FlightConditions conditions;
  double first_seen_s = 0.0, last_seen_s = 0.0;  // of the points used, since the launch point, in true time
  CameraVector camera = CameraVector::Zero();    // as the flight and the survey together place it
};

}  // namespace loftline
