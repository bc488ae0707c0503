// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/planned_path.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr double kStepS = 0.005;
constexpr double kBeforeS = 0.2, kAfterS = 0.5;  // longer than any exposure and step between frames

}  // namespace

PlannedPath::PlannedPath(const PredictedLaunch& launch, double flight_time_s) {
  const int count = static_cast<int>(std::ceil((flight_time_s + kBeforeS + kAfterS) / kStepS)) + 1;
  for (int i = 0; i < count; ++i) samples_.push_back(PredictAt(launch, -kBeforeS + i * kStepS));
}

PredictedSample PlannedPath::At(double time_s) const {
  const double first_s = samples_.front().time_s;
  const double last_piece = static_cast<double>(samples_.size()) - 2.0;
  const double piece = std::clamp(std::floor((time_s - first_s) / kStepS), 0.0, last_piece);
  const PredictedSample& from = samples_[static_cast<std::size_t>(piece)];
  const PredictedSample& to = samples_[static_cast<std::size_t>(piece) + 1];
  // Hermite's cubic by places and speeds at both ends; s runs from 0 to 1.
  const double width_s = to.time_s - from.time_s, s = (time_s - from.time_s) / width_s;
  const Eigen::Vector2d from_slope = width_s * from.velocity_m_per_s, to_slope = width_s * to.velocity_m_per_s;
  const Eigen::Vector2d step = to.in_plane_m - from.in_plane_m;
  const Eigen::Vector2d quadratic = 3.0 * step - 2.0 * from_slope - to_slope;
  const Eigen::Vector2d cubic = from_slope + to_slope - 2.0 * step;
  return {time_s,
          from.in_plane_m + s * (from_slope + s * (quadratic + s * cubic)),
          (from_slope + s * (2.0 * quadratic + 3.0 * s * cubic)) / width_s};
}

}  // namespace loftline
