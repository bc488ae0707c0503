// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/standing_bands.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/QR>

namespace loftline {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr int kSmooth = 5, kSmoother = 7;  // terms of the scene's polynomial, and of another one to compare with
constexpr int kHarmonics = 2;              // of the wave
constexpr double kLeastExplained = 0.9;    // of what is not smooth
constexpr double kLeastDepth = 0.002;
constexpr double kMostDisagreement = 0.05;  // of the strips, relative

struct WaveFit {
  double bands = 0.0, left = 0.0;  // sum of squares
  double depth = 0.0;
};

Eigen::MatrixXd SmoothTerms(const Eigen::VectorXd& place, int smooth) {
  Eigen::MatrixXd terms(place.size(), smooth);
  terms.col(0).setOnes();
  for (int i = 1; i < smooth; ++i) terms.col(i) = terms.col(i - 1).cwiseProduct((2.0 * place.array() - 1.0).matrix());
  return terms;
}

WaveFit FitWave(const Eigen::VectorXd& profile, const Eigen::VectorXd& place, double bands, int smooth) {
  Eigen::MatrixXd terms(place.size(), smooth + 2 * kHarmonics);
  terms.leftCols(smooth) = SmoothTerms(place, smooth);
  for (int h = 1; h <= kHarmonics; ++h) {
    terms.col(smooth + 2 * h - 2) = (kTwoPi * h * bands * place.array()).cos();
    terms.col(smooth + 2 * h - 1) = (kTwoPi * h * bands * place.array()).sin();
  }
  const Eigen::VectorXd solved = terms.colPivHouseholderQr().solve(profile);
  return {bands, (profile - terms * solved).squaredNorm(), solved.segment<2>(smooth).norm()};
}

// The best number of bands in a range: a grid, then halved steps.
WaveFit BestWave(const Eigen::VectorXd& profile, const Eigen::VectorXd& place, double least, double most, int smooth) {
  constexpr double kGrid = 0.05;
  WaveFit best = FitWave(profile, place, least, smooth);
  for (int i = 1; least + kGrid * i <= most; ++i) {
    const WaveFit tried = FitWave(profile, place, least + kGrid * i, smooth);
    if (tried.left < best.left) best = tried;
  }
  constexpr int kHalvings = 13;  // to 1e-5
  for (int halving = 0; halving < kHalvings; ++halving) {
    const double step = std::ldexp(kGrid, -halving);
    for (const double bands : {best.bands - step, best.bands + step}) {
      const WaveFit tried = FitWave(profile, place, bands, smooth);
      if (tried.left < best.left) best = tried;
    }
  }
  return best;
}

}  // namespace

std::optional<StandingBands> FindStandingBands(const std::vector<Eigen::VectorXd>& profiles,
                                               const Eigen::VectorXd& place,
                                               double least_bands,
                                               double most_bands) {
  if (profiles.size() < 2 || most_bands <= least_bands) return std::nullopt;
  const Eigen::MatrixXd smooth = SmoothTerms(place, kSmooth);
  const auto count = static_cast<double>(profiles.size());
  std::vector<double> bands;
  double mean = 0.0, depth = 0.0, by_shape = 0.0;
  for (const Eigen::VectorXd& profile : profiles) {
    const double not_smooth = (profile - smooth * smooth.colPivHouseholderQr().solve(profile)).squaredNorm();
    const WaveFit wave = BestWave(profile, place, least_bands, most_bands, kSmooth);
    const bool at_limit = wave.bands <= least_bands + 0.02 || wave.bands >= most_bands - 0.02;
    if (at_limit || wave.depth < kLeastDepth || wave.left > (1.0 - kLeastExplained) * not_smooth) return std::nullopt;
    bands.push_back(wave.bands);
    mean += wave.bands / count;
    depth += wave.depth / count;
    const double near = 0.3;
    const WaveFit other = BestWave(profile, place, wave.bands - near, wave.bands + near, kSmoother);
    by_shape += (other.bands - wave.bands) / count;
  }
  double variance = 0.0;
  for (const double each : bands) variance += (each - mean) * (each - mean) / (count - 1.0);
  if (std::sqrt(variance) > kMostDisagreement * mean) return std::nullopt;
  // Student's factor for so few strips (t of 95 % over 1.96; 3 degrees of freedom: 3.18/1.96).
  constexpr double kStudent = 1.62;
  return StandingBands{{mean, std::hypot(kStudent * std::sqrt(variance / count), by_shape)}, depth};
}

}  // namespace loftline
