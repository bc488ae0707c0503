// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/camera_model.h"
#include "fit/flight_result.h"
#include "study/planned_path.h"
#include "tracker/track.h"

#include <cstdint>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// How a flight that has not taken place would be filmed.
struct PlannedShot {
  Camera camera;
  PlannedPath path;
  Direction direction = Direction::kRight;
  double rate_hz = 60.0;
  double exposure_s = 0.002;
  double readout_s = 0.016;
  int rotation_deg = 0;  // clockwise, from the stored to the upright picture
  double body_length_m = 0.25;
};

// One frame of it: the middle of the body, where and when its own row is exposed.
struct PlannedFrame {
  double stamp_s = 0.0;  // of the frame's first row, since the body's middle left the launch point
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();      // NaN where the camera cannot see there
  Eigen::Vector2d streak_px = Eigen::Vector2d::Zero();  // the way during the exposure
  Eigen::Vector2d motion_px = Eigen::Vector2d::Zero();  // the way until the next frame
  double body_px = 0.0;                                 // the body's length, nose along the path
  bool in_view = false;                                 // body and streak lie within the picture
};

// The flight frame by frame, the first FIRST_STAMP_S after the launch, until it reaches the landing level.
std::vector<PlannedFrame> FramesOf(const PlannedShot& shot, double flight_time_s, double first_stamp_s);

// Where a moment of the flight is in the picture; NaN where it is behind the camera.
Eigen::Vector2d PxOfMoment(const PlannedShot& shot, double time_s);
bool InPicture(const Camera& camera, const Eigen::Vector2d& px);

// From when on a rocket counts as free of its tube: one body length away from it.
double FirstFreeS(const PlannedShot& shot);

struct PlannedView {
  int frames = 0;                      // from the tube to the landing
  int frames_in_view = 0;              // of these
  double first_s = 0.0, last_s = 0.0;  // in view, since the launch
  bool apogee_in_view = false, landing_in_view = false;
  double motion_px_at_launch = 0.0, motion_px_slowest = 0.0;  // from frame to frame
  double streak_px_at_launch = 0.0, streak_px_slowest = 0.0;
  double body_px_at_launch = 0.0, body_px_at_apogee = 0.0;
};
PlannedView ViewOf(const PlannedShot& shot, const PredictedFlight& flight);

// How well the tracker is expected to know a place: standard uncertainties along and across the path, pixels. A streak
// smears both ends of the body, and they are known to a share of its length. The figures are medians of what the
// tracker stated of rendered development clips: 0.23 px along and 0.09 px across with streaks of 2 to 4 px, 0.5 to 0.7
// px along with streaks of 15 to 25 px. They hold for a rocket that stands out from what is behind it.
struct PointNoise {
  double along_px = 0.22, across_px = 0.10;
  double along_per_streak = 0.03;
  double AlongPx(double streak_px) const;
};

// The track that such a clip would give, with noise drawn by SEED. The frames that are not wholly in view are left out.
Track DrawTrack(const std::vector<PlannedFrame>& frames,
                const PlannedShot& shot,
                const PointNoise& noise,
                std::uint64_t seed);

}  // namespace loftline
