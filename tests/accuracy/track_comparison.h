// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/truth_file.h"

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace loftline::accuracy {

// One row of a written track.csv; what a row leaves empty is not a number.
struct TrackRow {
  int frame = 0;
  double time_s = 0, x_px = 0, y_px = 0, var_xx = 0, var_xy = 0, var_yy = 0;
  std::string state;
};
// Throws std::runtime_error when the text cannot be read as a track, or has a frame that the clip does not have.
std::vector<TrackRow> TrackRows(const std::string& track_csv, const ClipTruth& truth);

// Unit vector of the flight in the picture, from the truth of the frames beside frame I.
std::pair<double, double> Heading(const ClipTruth& truth, std::size_t i);
// The row's error, squared and over its stated covariance: 2 on average where that is right.
double SquaredInStds(const TrackRow& row, double dx_px, double dy_px);
// Flies on that frame or next to it.
bool FlyingNear(const TruthFrame& frame, const ClipTruth& truth);

// A written track.csv against the truth.
struct TrackComparison {
  int visible_frames = 0;        // of the flight, by the truth
  int found_frames = 0;          // of those, with a believed position at the rocket
  int false_points = 0;          // believed flight points away from the rocket, or when it was not flying
  int wrong_times = 0;           // rows whose time is not the frame's own time stamp
  double rms_px = 0.0;           // of the distance to the body's middle, over flight points that are not false
  double rms_across_px = 0.0;    // the part of it across the body
  double rms_steady_px = 0.0;    // with one constant offset along the body taken out
  double along_offset_px = 0.0;  // that offset, positive towards the tip
  double normalised_rms = 0.0;   // distances over the stated standard deviations, 1 where those are right
};

// Nearer than this to the body's middle a point counts as on the rocket: three quarters of its length, at least 4 px.
double OnRocketPx(const TruthFrame& frame);

// Throws std::runtime_error when the file cannot be read as a track.
TrackComparison CompareTrack(const std::filesystem::path& track_csv, const ClipTruth& truth);
TrackComparison CompareTrackText(const std::string& track_csv, const ClipTruth& truth);

}  // namespace loftline::accuracy
