// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/noise_level.h"

#include "fit/path_noise.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

// Mean square of a standard normal variable under the weights 1/(1 + r^2/4): 4 (1 - w)/w with w = 2 sqrt(pi/2) e^2
// erfc(sqrt 2) = 0.8427.
constexpr double kWeightedMeanSquare = 0.7467;
constexpr double kPathParameters = 5.0;  // what a path fixes by itself: two positions, two speeds, drag
// A perfect track must not make the noise vanish: rounding in a track file alone is some hundredths of a pixel.
constexpr double kLeastScale = 0.2;
constexpr double kMostCorrelation = 0.9;

// Columns: unit vectors along and across the fitted path at a point.
Eigen::Matrix2d PathAxes(const std::vector<SeenPoint>& points, const FlightSolution& solution, std::size_t index) {
  const auto fitted_px = [&](std::size_t i) { return (points[i].at_px - solution.residual_px[i]).eval(); };
  const std::size_t before = index == 0 ? 0 : index - 1, after = std::min(index + 1, points.size() - 1);
  Eigen::Vector2d along = fitted_px(after) - fitted_px(before);
  along = along.norm() > 1e-9 ? (along / along.norm()).eval() : Eigen::Vector2d(1.0, 0.0);
  Eigen::Matrix2d axes;
  axes << along.x(), -along.y(), along.y(), along.x();
  return axes;
}

Eigen::Vector2d StdAlongAxes(const SeenPoint& point, const Eigen::Matrix2d& axes) {
  return (axes.transpose() * point.cov_px2 * axes).diagonal().cwiseSqrt();
}

double RobustSize(const std::vector<double>& residuals) {
  std::vector<double> sizes;
  sizes.reserve(residuals.size());
  for (const double residual : residuals) sizes.push_back(std::abs(residual));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  double size = std::max(1e-6, 1.4826 * *middle);  // normal distribution
  for (int round = 0; round < 10; ++round) {
    double squares = 0.0, weights = 0.0;
    for (const double residual : residuals) {
      const double r2 = residual * residual / (size * size);
      squares += r2 / (1.0 + r2 / 4.0);
      weights += 1.0 / (1.0 + r2 / 4.0);
    }
    size *= std::sqrt(squares / weights / kWeightedMeanSquare);
  }
  const double count = static_cast<double>(residuals.size());
  return size * std::sqrt(count / std::max(1.0, count - 0.5 * kPathParameters));
}

double NeighbourCorrelation(const std::vector<double>& residuals, double size) {
  double products = 0.0, squares = 0.0;
  for (std::size_t i = 1; i < residuals.size(); ++i) {
    const double before = std::clamp(residuals[i - 1], -3.0 * size, 3.0 * size);
    const double here = std::clamp(residuals[i], -3.0 * size, 3.0 * size);
    products += before * here;
    squares += 0.5 * (before * before + here * here);
  }
  return squares > 0.0 ? std::clamp(products / squares, 0.0, kMostCorrelation) : 0.0;
}

}  // namespace

NoiseLevel EstimateNoise(const std::vector<SeenPoint>& points, const FlightSolution& solution) {
  std::vector<double> along, across;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Matrix2d axes = PathAxes(points, solution, i);
    const Eigen::Vector2d residual =
        (axes.transpose() * solution.residual_px[i]).cwiseQuotient(StdAlongAxes(points[i], axes));
    along.push_back(residual[0]);
    across.push_back(residual[1]);
  }
  NoiseLevel level;
  level.along = RobustSize(along);
  level.across = RobustSize(across);
  level.along_correlation = NeighbourCorrelation(along, level.along);
  level.across_correlation = NeighbourCorrelation(across, level.across);
  return level;
}

std::vector<SeenPoint> WithNoise(const std::vector<SeenPoint>& points,
                                 const FlightSolution& solution,
                                 const NoiseLevel& level) {
  const auto scale = [](double size, double correlation) {
    return std::max(kLeastScale, size * std::sqrt((1.0 + correlation) / (1.0 - correlation)));
  };
  const Eigen::Vector2d scales(scale(level.along, level.along_correlation),
                               scale(level.across, level.across_correlation));
  const double runs = PointsPerSlowError(points.size());
  const double slow_px2 = kSlowErrorPx * kSlowErrorPx * runs;
  std::vector<SeenPoint> scaled = points;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Matrix2d axes = PathAxes(points, solution, i);
    const Eigen::Matrix2d stretch = axes * scales.asDiagonal() * axes.transpose();
    const Eigen::Matrix2d own_px2 = points[i].cov_px2 - points[i].pose_cov_px2;
    // Where the camera pointed is told by the same landmarks for many frames: another slow error.
    scaled[i].cov_px2 =
        stretch * own_px2 * stretch + slow_px2 * Eigen::Matrix2d::Identity() + runs * points[i].pose_cov_px2;
  }
  return scaled;
}

std::vector<Eigen::Vector2d> ResidualsOverScatter(const std::vector<SeenPoint>& points,
                                                  const FlightSolution& solution,
                                                  const NoiseLevel& level) {
  const Eigen::Vector2d scales(std::max(kLeastScale, level.along), std::max(kLeastScale, level.across));
  std::vector<Eigen::Vector2d> residuals;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Eigen::Matrix2d axes = PathAxes(points, solution, i);
    const Eigen::Vector2d stds_px = StdAlongAxes(points[i], axes).cwiseProduct(scales);
    residuals.emplace_back((axes.transpose() * solution.residual_px[i]).cwiseQuotient(stds_px));
  }
  return residuals;
}

double EffectiveDof(std::size_t count, const NoiseLevel& level) {
  const auto independent = [count](double correlation) {
    return static_cast<double>(count) * (1.0 - correlation) / (1.0 + correlation);
  };
  return std::max(1.0, independent(level.along_correlation) + independent(level.across_correlation) - kPathParameters);
}

}  // namespace loftline
