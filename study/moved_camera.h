// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/camera_model.h"
#include "calibrate/survey.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// Where the camera stands and looks, in the frames of camera_model.h.
struct CameraStand {
  double across_m = 0.0;  // to its own right of the launch point
  double distance_m = 0.0;
  double yaw_deg = 0.0, tilt_deg = 0.0;
  bool turned = false;  // the phone is held the other way: sideways instead of upright, or upright instead of sideways
};
CameraStand StandOf(const Camera& camera);
// The same lens, height above the launch point and roll at another stand. Of a lens whose axis is off the middle or
// whose distortion is not round (p1, p2), a turned phone shows that in another direction; it is too little to matter
// for a plan.
Camera MovedTo(const Camera& camera, const CameraStand& stand);

// The survey that the same marks, tape and level would give from there: what was marked stays where it is in the world
// and is seen by MOVED; what was said of the camera's place and angles says those of MOVED, as well as before.
// CAMERA is the one that SURVEY gives. Marks may come to lie outside the picture.
Survey SurveyFrom(const Survey& survey, const Camera& camera, const Camera& moved);

// Every place that somebody marks, the launch point included, in pixels.
std::vector<Eigen::Vector2d> MarkedPlacesPx(const Survey& survey);

}  // namespace loftline
