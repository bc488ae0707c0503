// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// Where the camera pointed on one frame of a clip that was not filmed from a tripod.
struct CameraPose {
  int frame = 0;
  double time_s = 0.0;  // the container's time stamp
  // From the frame's own pixels to those of the first frame; its entry (2, 2) is 1. Nothing where it is not known.
  std::optional<Eigen::Matrix3d> reference_from_frame;
  double std_px = 0.0;  // of a position carried over by it, each way, in the middle of the picture
};

// A motion.csv file (docs/formats.md), one row for every frame of the clip. Reading checks every number, the order of
// frames, and that no homography is singular. Errors: those of ReadCsv, and "bad-value" with the line.
Expected<std::vector<CameraPose>> ReadMotion(const std::filesystem::path& path);
std::string MotionAsCsv(const std::vector<CameraPose>& poses);

// STEM.motion.csv for STEM.track.csv; for any other name the ending is replaced.
std::filesystem::path MotionPathBeside(const std::filesystem::path& track_path);

// Where FRAME is among POSES, which are in order of frames; null where it is not, or its pose is not known.
const CameraPose* PoseOfFrame(const std::vector<CameraPose>& poses, int frame);

}  // namespace loftline
