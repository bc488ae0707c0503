// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/side_light.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr int kSmoothTerms = 10;  // of the polynomial in time that the true offsets follow
constexpr int kTerms = kSmoothTerms + 2;
constexpr std::size_t kFewestLooks = 3 * kTerms;
constexpr int kRounds = 8;
constexpr double kOffsetStdPx = 0.2;  // of one look; more than its noise, since neighbours err alike
constexpr double kClipSizes = 2.0;
// Before anything is seen: sun and sky stand above, to the left or to the right.
const Eigen::Vector2d kUsual(0.0, -0.3), kUsualStd(1.0, 0.7);
constexpr double kStrongest = 2.0;  // light from the side alone

using Row = Eigen::Matrix<double, kTerms, 1>;
using Square = Eigen::Matrix<double, kTerms, kTerms>;

// Chebyshev polynomials of time, from -1 to 1 over the looks, then the two parts of the light.
std::vector<Row> RowsOf(const std::vector<SideLook>& looks) {
  const double first_s = looks.front().time_s, span_s = std::max(1e-9, looks.back().time_s - first_s);
  std::vector<Row> rows;
  for (const SideLook& look : looks) {
    const double u = 2.0 * (look.time_s - first_s) / span_s - 1.0;
    Row row;
    row[0] = 1.0, row[1] = u;
    for (int k = 2; k < kSmoothTerms; ++k) row[k] = 2.0 * u * row[k - 1] - row[k - 2];
    row.tail<2>() = look.side_px * look.normal;
    rows.push_back(row);
  }
  return rows;
}

double MedianSize(std::vector<double> values) {
  for (double& value : values) value = std::abs(value);
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

SideLight EstimateSideLight(const std::vector<SideLook>& looks) {
  SideLight light;
  light.strength = kUsual;
  light.cov = kUsualStd.cwiseAbs2().asDiagonal();
  if (looks.size() < kFewestLooks) return light;
  const std::vector<Row> rows = RowsOf(looks);
  std::vector<double> residual_px(looks.size()), trust(looks.size(), 1.0);
  for (int round = 0; round < kRounds; ++round) {
    Square normal = 1e-9 * Square::Identity();
    normal.diagonal().tail<2>() += kUsualStd.cwiseAbs2().cwiseInverse();
    Row right = Row::Zero();
    right.tail<2>() = kUsual.cwiseQuotient(kUsualStd.cwiseAbs2());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const double weight = trust[i] / (kOffsetStdPx * kOffsetStdPx);
      normal += weight * rows[i] * rows[i].transpose();
      right += weight * looks[i].offset_px * rows[i];
    }
    const Square cov = normal.inverse();
    const Row solved = cov * right;
    if (!solved.allFinite()) return light;
    light.strength = solved.tail<2>();
    light.cov = cov.bottomRightCorner<2, 2>();
    for (std::size_t i = 0; i < rows.size(); ++i) residual_px[i] = looks[i].offset_px - rows[i].dot(solved);
    const double clip_px = kClipSizes * 1.4826 * MedianSize(residual_px);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      trust[i] = std::min(1.0, clip_px / std::max(1e-9, std::abs(residual_px[i])));
    }
  }
  const double size = light.strength.norm();
  if (size > kStrongest) light.strength *= kStrongest / size;
  return light;
}

}  // namespace loftline
