// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>
#include <optional>

namespace loftline {

// What a path looks like, in pixels and in the clip's own seconds.
struct PathLooks {
  std::size_t points = 0;
  double seen_share = 0.0;  // of the frames between its ends
  double span_s = 0.0;
  double travel_px = 0.0;
  double own_size_px = 0.0;        // of the body, its streak apart
  double gravity_px_per_s2 = 0.0;  // downwards, with the fit's standard deviation
  double gravity_std_px_per_s2 = 0.0;
  double sag_px = 0.0;  // how far gravity bends the path away from its chord
  double fastest_px_per_s = 1.0;
  double rms_px = 0.0;  // misfit
  double body_m = 0.0;  // how long the body is if what it falls by is the earth's gravity
};

// Slow motion that is stored at a low rate and does not say so: everything flies as it should, but falls n^2 times too
// slowly, n the capture rate over the stored one, so that a rocket seems n^2 times as long as rockets are. So does a
// bird that glides far off; what tells them apart is that a thrown body keeps to its path to a small part of the path's
// bend, over many frames and while its speed changes by much. Nothing where it is no such path. The capture rate is the
// one of those that phones have (60, 120, 240 ... 1920 Hz) at which the body is nearest to 0.25 m long: right for
// bodies of 0.13 to 0.5 m, since neighbouring rates differ by a factor of four in length.
std::optional<double> LikelyCaptureRateHz(const PathLooks& looks, double stored_rate_hz);

}  // namespace loftline
