// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The tracker alone against the truth: what it finds, how far off, what it invents, and whether it knows its errors.
#pragma once

#include "tests/accuracy/track_comparison.h"

namespace loftline::accuracy {

struct PointError {
  double dx_px = 0, dy_px = 0;
  double along_px = 0, across_px = 0;  // of the flight in the picture
  double true_x_px = 0, true_y_px = 0;
  double squared_in_stds = 0;
};

struct TrackerClip {
  std::string name;
  int exit_status = 0;     // of the program; 3: refused
  int visible_frames = 0;  // of the flight, by the truth
  int found_frames = 0;    // of those, with a believed position at the rocket
  int false_points = 0;    // given as flight, but away from the rocket, or when it could not be seen or was not flying
  std::vector<PointError> points;  // given as flight, on visible flight frames, not false
  bool refused() const { return exit_status == 3; }
};

// Farther than this from the body's middle a point is false: 5 px and half the body's length.
double FalseFromPx(const TruthFrame& frame);

// A track as the program wrote it. Frames that show a part of the body (a quarter to all but a tenth is hidden) are
// neither asked for nor forbidden. Throws std::runtime_error when it cannot be read.
TrackerClip JudgeTrack(const std::string& track_csv, const ClipTruth& truth);
// A clip that was not tracked: nothing of it is found.
TrackerClip JudgeNoTrack(int exit_status, const ClipTruth& truth);

// Of several clips of one kind; not a number where there is nothing to tell it from.
struct TrackerFigures {
  int clips = 0, false_points = 0, failed = 0;  // failed: neither tracked nor refused
  double found_share = 0, refused_share = 0;
  double rms_px = 0, rms_along_px = 0, rms_across_px = 0;
  double mean_squared_in_stds = 0;
  double phase_bias_px = 0;
};
TrackerFigures FiguresOf(const std::vector<TrackerClip>& clips);

// How much the error swings with the place of the truth between two pixels: the amplitude of its first harmonic over
// the pixel, less what noise alone would give; the larger of x and y. Each clip's own mean error is taken out before.
// Not a number below 100 points.
double PhaseBiasPx(const std::vector<TrackerClip>& clips);

}  // namespace loftline::accuracy
