// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_strip.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr double kLeastNoise = 0.8;  // grey levels

double Bilinear(const cv::Mat& image, double x, double y) {
  const int left = static_cast<int>(x), top = static_cast<int>(y);
  const double u = x - left, v = y - top;
  const auto* above = image.ptr<std::uint8_t>(top) + left;
  const auto* below = image.ptr<std::uint8_t>(top + 1) + left;
  return (1 - v) * ((1 - u) * above[0] + u * above[1]) + v * ((1 - u) * below[0] + u * below[1]);
}

// Noise of a pixel's difference: its median modulus over the window's rim, where the body is not.
double NoiseOf(const BodyPatch& patch) {
  std::vector<double> sizes;
  for (int y = 0; y < patch.seen.rows; ++y) {
    const bool rim_row = y < 6 || y >= patch.seen.rows - 6;
    for (int x = 0; x < patch.seen.cols; x += rim_row ? 1 : std::max(1, patch.seen.cols - 1)) {
      sizes.push_back(std::abs(patch.seen.at<std::uint8_t>(y, x) - patch.expected.at<std::uint8_t>(y, x)));
    }
  }
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return std::max(kLeastNoise, 1.4826 * *middle);
}

bool FillColumn(const BodyPatch& patch,
                const Eigen::Vector2d& on_axis,
                const Eigen::Vector2d& normal,
                int half,
                int column,
                BodyStrip* strip) {
  const Eigen::Vector2d first = on_axis - normal * half, last = on_axis + normal * half;
  const Eigen::Vector2d low = first.cwiseMin(last), high = first.cwiseMax(last);
  if (low.minCoeff() < 0.0 || high.x() >= patch.seen.cols - 1.001 || high.y() >= patch.seen.rows - 1.001) return false;
  double background = 0.0;
  for (int row = 0; row <= 2 * half; ++row) {
    const Eigen::Vector2d at = first + normal * row;
    const double expected = Bilinear(patch.expected, at.x(), at.y());
    strip->difference(row, column) = Bilinear(patch.seen, at.x(), at.y()) - expected;
    if (std::abs(row - half) <= 1) background += expected / 3.0;
  }
  strip->background[column] = background;
  return true;
}

}  // namespace

BodyStrip CutStrip(
    const BodyPatch& patch, const Eigen::Vector2d& expected_px, const Eigen::Vector2d& axis, int reach, int half) {
  BodyStrip strip;
  strip.axis = axis;
  strip.noise = NoiseOf(patch);
  const Eigen::Vector2d normal(-axis.y(), axis.x());
  const Eigen::Vector2d corner_px(patch.top_left_px.x, patch.top_left_px.y);
  const int columns = 2 * reach + 1;
  strip.difference = Eigen::MatrixXd::Zero(2 * half + 1, columns);
  strip.background = Eigen::VectorXd::Zero(columns);
  strip.valid.assign(static_cast<std::size_t>(columns), 0);
  for (int column = 0; column < columns; ++column) {
    const Eigen::Vector2d on_axis = expected_px + axis * (column - reach) - corner_px;
    if (!FillColumn(patch, on_axis, normal, half, column, &strip)) continue;
    strip.valid[static_cast<std::size_t>(column)] = 1;
    ++strip.valid_columns;
  }
  return strip;
}

}  // namespace loftline
