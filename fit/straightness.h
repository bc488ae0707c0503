// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

struct AxisSight;

// The body's angle to its path on one frame: anticlockwise from the velocity as seen in the picture. Nose and tail are
// not told apart on a frame; from frame to frame the angle goes on by the shorter way.
struct BodyAngle {
  int frame = 0;
  double time_s = 0.0;  // since the launch point
  Measured angle_deg;
  double path_deg = 0.0;    // direction of the velocity in the picture, anticlockwise from its right
  double fitted_deg = 0.0;  // by the oscillation, wind and trim found; the angle itself where the body turned over
  bool believed = true;     // false: an outlier, left out
};

// How straight the body flew. Absent quantities: REASON says why.
struct Straightness {
  std::optional<Estimate> rms_angle_deg;         // off the path, what noise adds taken off
  std::optional<Estimate> offset_deg;            // what stays: trim, and whatever the tracker sees askew
  std::optional<Estimate> wobble_hz;             // frequency
  std::optional<Estimate> wobble_decay_per_s;    // the wobble fades as exp(-decay t); below zero: it grows
  std::optional<Estimate> wobble_amplitude_deg;  // at the first frame measured
  std::string reason;                            // a sentence; empty where nothing is absent
  double body_length_px = 0.0;                   // median over the frames used, without the streak; 0 unknown
  double noise_deg = 0.0;                        // of one frame's axis
  double turned_deg = 0.0;                       // farthest from the path, by the median of three frames
  bool turned_over = false;
  std::vector<BodyAngle> angles;  // of frames whose body is long enough
};

// From the axes seen, in order of time. WIND_M_PER_S: along the plane's x, as far as it is known.
Straightness MeasureStraightness(const std::vector<AxisSight>& sights, const Measured& wind_m_per_s);

}  // namespace loftline
