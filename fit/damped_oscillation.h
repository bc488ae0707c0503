// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// One measured angle of the body to its path.
struct AngleSample {
  double time_s = 0.0;
  double angle_rad = 0.0;
  double std_rad = 1.0;              // up to one factor common to all, which is found
  double by_wind_rad_s_per_m = 0.0;  // how far a wind of 1 m/s turns a body that follows the air
};

// angle(t) = offset + wind * by_wind(t) + exp(-decay (t - t0)) (a cos 2 pi f (t - t0) + b sin 2 pi f (t - t0)),
// t0 the first sample: the free motion of the damped harmonic oscillator, as the linear theory of weathercock stability
// has it (common knowledge of mechanics, written down from memory), about where wind and trim turn the body.
enum OscillationParameter { kOffsetRad, kWindMPerS, kCosRad, kSinRad, kHz, kDecayPerS, kOscillationSize };
using OscillationVector = Eigen::Matrix<double, kOscillationSize, 1>;
using OscillationMatrix = Eigen::Matrix<double, kOscillationSize, kOscillationSize>;

struct Oscillation {
  OscillationVector parameters = OscillationVector::Zero();
  OscillationMatrix covariance = OscillationMatrix::Zero();  // zero for what was not fitted
  bool wobbles = false;                                      // an oscillation stands out of the noise
  // Of the residuals: size over the samples' std, correlation of neighbours, and mean product of those 4 to 8 apart.
  double noise_scale = 1.0, neighbour_correlation = 0.0, slow_rad2 = 0.0;
  std::vector<char> believed;      // 0: an outlier, left out
  std::vector<double> fitted_rad;  // of every sample
  double mean_square_rad2 = 0.0;   // of the fitted angles, what noise adds to it taken off; may be below zero
  double mean_square_std_rad2 = 0.0;

  double AmplitudeRad() const;  // at the first sample
  double AmplitudeStdRad() const;
};

// At least eight samples by time. WIND_M_PER_S is what is known of the wind. The frequency is looked for from three
// cycles in the time seen to a fifth of the frame rate, at most 12 Hz.
Oscillation FitOscillation(const std::vector<AngleSample>& samples, const Measured& wind_m_per_s);

}  // namespace loftline
