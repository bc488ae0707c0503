// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/motion_file.h"

#include <filesystem>
#include <limits>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace loftline {

enum class PointState {
  kFlight,   // the rocket in free flight
  kLaunch,   // the rocket, but still on or near the tube, where air may push it
  kOutlier,  // seen near the path, not believed
  kHidden,   // on the path by its time, not seen: no position
};

// Where the rocket was on one frame. Pixels of the upright picture, x right, y down, (0, 0) the top-left pixel's
// centre.
struct TrackPoint {
  int frame = 0;
  double time_s = 0.0;                                    // the container's time stamp
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();        // middle of the visible body; NaN where hidden
  Eigen::Matrix2d cov_px2 = Eigen::Matrix2d::Identity();  // NaN where hidden
  double length_px = 0.0;                                 // body and streak together, along the axis
  // Direction of the long axis, -90..90, 0 level, positive rising to the right; NaN where it was not measured.
  double axis_deg = std::numeric_limits<double>::quiet_NaN();
  PointState state = PointState::kFlight;
};

struct Track {
  std::vector<TrackPoint> points;  // by frame, each in its own frame's pixels
  std::vector<CameraPose> poses;   // of every frame of the clip; empty where the camera stood still
};

// A track.csv file (docs/formats.md). Reading checks every number, the order of frames and times, that no frame stands
// twice, and that covariances are positive definite. A motion file beside it (motion_file.h) is read and written with
// it; without poses, an old one is taken away. Errors: those of ReadCsv, and "bad-value" with the line.
Expected<Track> ReadTrack(const std::filesystem::path& path);
Status WriteTrack(const std::filesystem::path& path, const Track& track);
std::string TrackAsCsv(const Track& track);

}  // namespace loftline
