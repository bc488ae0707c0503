// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// What flickers: log-luma of row and frame = scene(row) + exposure(frame) + lamp(f (t + readout * place) ...).
struct FlickerData {
  Eigen::MatrixXd logs;    // bands x frames
  Eigen::VectorXd place;   // of the bands, 0 to 1 along the readout
  Eigen::VectorXd time_s;  // of the frames, from the middle of the clip
};

struct FlickerPeak {
  double flicker_hz = 0.0, readout_s = 0.0;
  double explained = 0.0;  // of the sum of squares
};

// The steadiest moving bands at a frequency near FLICKER_HZ (within SEARCH_SHARE of it), read out within LEAST to MOST
// seconds. Negative readouts stand for bands that move the wrong way. Cheap: two products per frequency.
class FlickerSearch {
 public:
  explicit FlickerSearch(FlickerData data);
  FlickerPeak Best(double flicker_hz, double search_share, double least_readout_s, double most_readout_s) const;
  double total() const { return total_; }  // sum of squares, scene and exposure taken out
  const FlickerData& data() const { return data_; }

 private:
  FlickerData data_;  // scene and exposure taken out
  double total_ = 0.0;
};

struct FlickerFit {
  Measured readout_s, flicker_hz;
  double depth = 0.0;
  double residual = 0.0;  // sum of squares left
};

// Refines a peak: the lamp's wave with three harmonics, its depth changing evenly along the readout, its phase drifting
// slowly against the time stamps (the mains wander). KNOWN_HZ is what the flicker's frequency is known to be. The
// covariance comes from how differently stretches of the clip would have it. Nothing where the normal equations are
// singular.
std::optional<FlickerFit> RefineFlicker(const FlickerData& data, const FlickerPeak& peak, const Measured& known_hz);

}  // namespace loftline
