// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/scene.h"

#include <vector>

#include <Eigen/Core>

namespace loftline::render {

// A rolling shutter: sensor row r of the stored picture is exposed about time_stamp + readout r / (rows - 1). In a clip
// that is turned for display, the rows run along the upright picture's x axis or backwards; a "line" here is one row as
// it lies in the upright picture.
class Shutter {
 public:
  Shutter(const Timing& timing, const Picture& picture) : timing_(timing), picture_(picture) {}

  bool lines_are_columns() const { return picture_.rotation_deg % 180 != 0; }
  int lines() const { return lines_are_columns() ? picture_.width_px : picture_.height_px; }
  // Sensor row, counted in readout order, on which a point of the upright picture lies.
  double RowOf(const Eigen::Vector2d& px) const {
    const double along = lines_are_columns() ? px.x() : px.y();
    const bool backwards = picture_.rotation_deg == 90 || picture_.rotation_deg == 180;
    return backwards ? lines() - 1 - along : along;
  }
  double TimeOf(double frame_s, const Eigen::Vector2d& px) const {
    return frame_s + timing_.readout_s * RowOf(px) / (lines() - 1);
  }
  double exposure_s() const { return timing_.exposure_s; }
  double readout_s() const { return timing_.readout_s; }

 private:
  Timing timing_;
  Picture picture_;
};

// When the frames were taken, and what their time stamps say.
struct FrameTime {
  std::int64_t ticks = 0;  // of the container, kTicksPerS a second
  double time_s = 0.0;     // real time; the time stamp itself unless the clip is stretched
};
inline constexpr int kTicksPerS = 90000;
std::vector<FrameTime> FrameTimes(const Scene& scene);

}  // namespace loftline::render
