// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/measured_launch.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace loftline {
namespace {

// The launch as a prediction has it, in the order of LaunchPart.
enum LaunchPart { kSpeed, kAngle, kAzimuth, kDrag, kWind, kChange, kLaunchParts };

struct LaunchOf {
  MotionVector values = MotionVector::Zero();
  MotionMatrix covariance = MotionMatrix::Zero();
};

LaunchOf PartsOf(const FittedMotion& motion) {
  const double forward = motion.values[kForwardMPerS], up = motion.values[kUpMPerS];
  const double side = forward < 0.0 ? -1.0 : 1.0;
  const double speed = std::hypot(forward, up);
  LaunchOf launch;
  launch.values << speed, DegFromRad(std::atan2(up, std::abs(forward))), motion.values[kAzimuthRad],
      motion.values[kLogDrag], side * motion.values[kWindXMPerS], motion.values[kLogDragChange];
  MotionMatrix by_motion = MotionMatrix::Zero();
  by_motion(kSpeed, kForwardMPerS) = forward / speed;
  by_motion(kSpeed, kUpMPerS) = up / speed;
  by_motion(kAngle, kForwardMPerS) = DegFromRad(-side * up / (speed * speed));
  by_motion(kAngle, kUpMPerS) = DegFromRad(std::abs(forward) / (speed * speed));
  by_motion(kAzimuth, kAzimuthRad) = 1.0;
  by_motion(kDrag, kLogDrag) = 1.0;
  by_motion(kWind, kWindXMPerS) = side;
  by_motion(kChange, kLogDragChange) = 1.0;
  launch.covariance = by_motion * motion.covariance * by_motion.transpose();
  return launch;
}

}  // namespace

void AddMeasuredLaunch(const FlightResult& from, const WantedOfLaunch& wanted, PredictionModel* model) {
  const LaunchOf launch = PartsOf(from.motion);
  const auto std_of = [&](LaunchPart part) { return std::sqrt(std::max(0.0, launch.covariance(part, part))); };
  std::vector<LaunchPart> parts;
  const auto add = [&](LaunchPart part, const char* key, const char* label, const char* unit, Eigen::Index* index) {
    *index = model->Add({key, label, unit, {launch.values[part], std_of(part)}, PredictionInput::Given::kMeasured});
    model->uncertain.back().source = kMeasuredLaunch;
    parts.push_back(part);
  };
  if (wanted.speed) add(kSpeed, "launch_speed_m_s", "launch speed", "m/s", &model->speed);
  if (wanted.angle) add(kAngle, "launch_angle_deg", "launch angle", "°", &model->angle);
  add(kAzimuth, "azimuth_rad", "azimuth", "rad", &model->azimuth);
  if (wanted.wind) add(kWind, "wind_along_m_s", "wind", "m/s", &model->wind);
  if (wanted.drag) {
    add(kDrag, "drag_per_m", "drag", "1/m", &model->drag);
    Measured& shown = model->listed.back().value;  // the input itself is the logarithm
    shown = {std::exp(shown.value), std::exp(shown.value) * shown.std};
    if (std::isfinite(from.motion.conditions.drag_change_s)) {
      add(kChange, "drag_change", "drag change", "times", &model->drag_change);
      Measured& factor = model->listed.back().value;
      factor = {std::exp(factor.value), std::exp(factor.value) * factor.std};
    }
  }
  model->measured_conditions = from.motion.conditions;
  const auto size = static_cast<Eigen::Index>(parts.size());
  model->correlations = Eigen::MatrixXd::Identity(size, size);
  for (Eigen::Index i = 0; i < size; ++i) {
    for (Eigen::Index j = 0; j < i; ++j) {
      const LaunchPart one = parts[static_cast<std::size_t>(i)], other = parts[static_cast<std::size_t>(j)];
      const double stds = std_of(one) * std_of(other);
      const double correlation = stds > 0.0 ? std::clamp(launch.covariance(one, other) / stds, -1.0, 1.0) : 0.0;
      model->correlations(i, j) = model->correlations(j, i) = correlation;
    }
  }
}

void CompleteCorrelations(PredictionModel* model) {
  if (model->correlations.size() == 0) return;
  const auto size = static_cast<Eigen::Index>(model->uncertain.size());
  Eigen::MatrixXd all = Eigen::MatrixXd::Identity(size, size);
  const Eigen::Index first = model->correlations.rows();
  all.topLeftCorner(first, first) = model->correlations;
  model->correlations = std::move(all);
}

}  // namespace loftline
