// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/path_nodes.h"

#include <algorithm>
#include <numeric>

#include <Eigen/Cholesky>
#include <Eigen/LU>

namespace loftline {
namespace {

constexpr double kMostSteps = 20000;

double LongestStepOf(const FlightUnknowns& unknowns, const FlightConditions& conditions) {
  const FlightForces<MotionJet> forces = ForcesOf(unknowns.motion, conditions);
  const double fastest_m_per_s =
      std::hypot(unknowns.motion[kForwardMPerS], unknowns.motion[kUpMPerS]) + std::abs(unknowns.motion[kWindXMPerS]);
  return LongestStepS(std::max(forces.drag_per_m.a, forces.drag_after_per_m.a), fastest_m_per_s);
}

}  // namespace

FlightForces<MotionJet> ForcesOf(const MotionVector& motion, const FlightConditions& conditions) {
  FlightForces<MotionJet> forces;
  forces.gravity_m_per_s2 = conditions.gravity_m_per_s2;
  forces.drag_per_m = exp(MotionJet(motion[kLogDrag], kLogDrag));
  forces.wind_x_m_per_s = MotionJet(motion[kWindXMPerS], kWindXMPerS);
  forces.change_s = conditions.drag_change_s;
  forces.drag_after_per_m = forces.drag_per_m * exp(MotionJet(motion[kLogDragChange], kLogDragChange));
  forces.reynolds_s_per_m = conditions.reynolds_s_per_m;
  return forces;
}

FlightForces<double> ValuesOf(const FlightForces<MotionJet>& forces) {
  FlightForces<double> values;
  values.gravity_m_per_s2 = forces.gravity_m_per_s2;
  values.drag_per_m = forces.drag_per_m.a;
  values.wind_x_m_per_s = forces.wind_x_m_per_s.a;
  values.change_s = forces.change_s;
  values.drag_after_per_m = forces.drag_after_per_m.a;
  values.reynolds_s_per_m = forces.reynolds_s_per_m;
  values.table = forces.table;
  return values;
}

FlightState<double> ValuesOf(const FlightState<MotionJet>& state) {
  FlightState<double> values;
  for (int i = 0; i < 3; ++i) {
    values.at_m[i] = state.at_m[i].a;
    values.velocity_m_per_s[i] = state.velocity_m_per_s[i].a;
  }
  values.time_s = state.time_s;
  return values;
}

FlightState<MotionJet> LaunchStateOf(const MotionVector& motion) {
  const MotionJet forward(motion[kForwardMPerS], kForwardMPerS), up(motion[kUpMPerS], kUpMPerS);
  const MotionJet azimuth(motion[kAzimuthRad], kAzimuthRad);
  FlightState<MotionJet> state;
  state.at_m.setConstant(MotionJet(0.0));
  state.velocity_m_per_s = {forward * cos(azimuth), up, forward * sin(azimuth)};
  return state;
}

PathNodes::PathNodes(const std::vector<SeenPoint>& points,
                     const FlightConditions& conditions,
                     const FlightUnknowns* unknowns)
    : points_(points), conditions_(conditions), unknowns_(unknowns), states_(points.size()) {}

void PathNodes::ChangeDragAt(double change_s) {
  conditions_.drag_change_s = change_s;
  stale_ = true;
}

std::vector<double> PathNodes::TimesS() const {
  std::vector<double> times_s(points_.size());
  for (std::size_t i = 0; i < points_.size(); ++i) {
    times_s[i] = points_[i].stamp_s + unknowns_->readout_s * points_[i].row_fraction - unknowns_->launch_time_s;
  }
  return times_s;
}

namespace {

// A time derivative, where derivatives are carried at all.
FlightState<MotionJet> WithTime(const FlightForces<MotionJet>& forces, const FlightState<MotionJet>& state) {
  return Shifted(forces, state, MotionJet(0.0, kMotionSize));
}
FlightState<MotionJet> WithTime(const FlightForces<double>& /*forces*/, const FlightState<double>& state) {
  FlightState<MotionJet> plain;
  for (int i = 0; i < 3; ++i) {
    plain.at_m[i] = MotionJet(state.at_m[i]);
    plain.velocity_m_per_s[i] = MotionJet(state.velocity_m_per_s[i]);
  }
  plain.time_s = state.time_s;
  return plain;
}

}  // namespace

// From the launch point forwards, and backwards for points before it.
template <typename T>
void PathNodes::FlyThrough(const FlightForces<T>& forces,
                           const FlightState<T>& launch,
                           const std::vector<double>& times_s) {
  std::vector<std::size_t> order(points_.size());
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return times_s[a] < times_s[b]; });
  const double longest_step_s = LongestStepOf(*unknowns_, conditions_);
  const auto middle =
      std::find_if(order.begin(), order.end(), [&](std::size_t i) { return times_s[i] >= 0.0; }) - order.begin();
  const auto fly = [&](std::ptrdiff_t first, std::ptrdiff_t end, std::ptrdiff_t step) {
    FlightState<T> state = launch;
    for (std::ptrdiff_t i = first; i != end; i += step) {
      const std::size_t point = order[static_cast<std::size_t>(i)];
      state = FlyFor(forces, state, times_s[point] - state.time_s, longest_step_s);
      states_[point] = WithTime(forces, state);
    }
  };
  fly(middle, static_cast<std::ptrdiff_t>(order.size()), 1);
  fly(middle - 1, -1, -1);
}

void PathNodes::PrepareForEvaluation(bool evaluate_jacobians, bool new_evaluation_point) {
  if (!new_evaluation_point && !stale_ && (with_derivatives_ || !evaluate_jacobians)) return;
  stale_ = false;
  with_derivatives_ = evaluate_jacobians;
  rotation_ = RotationOf(unknowns_->camera.data());
  const std::vector<double> times_s = TimesS();
  // A step of the solver into nonsense (minutes of flight, drag like a wall) is turned down, not computed.
  const auto [earliest, latest] = std::minmax_element(times_s.begin(), times_s.end());
  valid_ = (std::abs(*earliest) + std::abs(*latest)) / LongestStepOf(*unknowns_, conditions_) < kMostSteps;
  if (!valid_) return;
  const FlightForces<MotionJet> forces = ForcesOf(unknowns_->motion, conditions_);
  const FlightState<MotionJet> launch = LaunchStateOf(unknowns_->motion);
  if (evaluate_jacobians) {
    FlyThrough(forces, launch, times_s);
  } else {
    FlyThrough(ValuesOf(forces), ValuesOf(launch), times_s);
  }
}

PointError::PointError(const SeenPoint& seen,
                       std::size_t index,
                       double noise_scale,
                       const Eigen::Vector2d& principal_px,
                       const PathNodes& nodes)
    : seen_(seen), index_(index), principal_px_(principal_px), nodes_(nodes) {
  const Eigen::Matrix2d covariance = seen.cov_px2 * (noise_scale * noise_scale);
  sqrt_information_ = covariance.inverse().llt().matrixU();
}

bool PointError::Evaluate(const double* const* blocks, double* residuals, double** jacobians) const {
  constexpr int kWorld = 3;
  if (!nodes_.valid()) return false;
  const FlightState<MotionJet>& state = nodes_.state(index_);
  using OffsetJet = Eigen::Matrix<double, 3, kOffsetSize>;
  const double* offset_m = blocks[3];

  const Eigen::Matrix<MotionJet, 3, 1>& v = state.velocity_m_per_s;
  const MotionJet speed = sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2] + MotionJet(1e-12));
  const Eigen::Matrix<MotionJet, 3, 1> along = v / speed;
  // Across the path within the flight plane; its length is the cosine of how far the path leads out of the plane, near
  // enough 1.
  const Eigen::Matrix<MotionJet, 3, 1> across(-along[1], along[0], MotionJet(0.0));
  const MotionJet shade_m =
      along[1] * MotionJet(offset_m[kShadeBySineM]) + along[0] * MotionJet(offset_m[kShadeByCosineM]);
  const Eigen::Matrix<MotionJet, 3, 1> middle_m = state.at_m + along * MotionJet(offset_m[kAlongM]) + across * shade_m;
  if (!std::isfinite(middle_m[0].v.sum() + middle_m[1].v.sum() + middle_m[2].v.sum())) return false;

  Projection projection;
  const Eigen::Vector3d in_world_m(middle_m[0].a, middle_m[1].a, middle_m[2].a);
  if (!Project(blocks[4], nodes_.rotation(), principal_px_, in_world_m, &projection)) return false;
  if (!projection.px.allFinite()) return false;
  Eigen::Map<Eigen::Vector2d>{residuals} = sqrt_information_ * (projection.px - seen_.at_px);
  if (jacobians == nullptr) return true;

  const Eigen::Matrix<double, 2, kCameraSize> by_camera = sqrt_information_ * projection.by_camera;
  const Eigen::Matrix<double, 2, kWorld> by_world = sqrt_information_ * projection.by_world;
  Eigen::Matrix<double, kWorld, kMotionSize + 1> world_by_motion;
  OffsetJet world_by_offset;
  for (int row = 0; row < kWorld; ++row) {
    world_by_motion.row(row) = middle_m[row].v.transpose();
    world_by_offset(row, kAlongM) = along[row].a;
    world_by_offset(row, kShadeBySineM) = across[row].a * along[1].a;
    world_by_offset(row, kShadeByCosineM) = across[row].a * along[0].a;
  }
  const Eigen::Matrix<double, 2, kMotionSize + 1> by_motion = by_world * world_by_motion;
  const Eigen::Vector2d by_time = by_motion.col(kMotionSize);
  if (jacobians[0] != nullptr) {
    Eigen::Map<Eigen::Matrix<double, 2, kMotionSize, Eigen::RowMajor>>{jacobians[0]} =
        by_motion.leftCols<kMotionSize>();
  }
  if (jacobians[1] != nullptr) Eigen::Map<Eigen::Vector2d>{jacobians[1]} = -by_time;
  if (jacobians[2] != nullptr) Eigen::Map<Eigen::Vector2d>{jacobians[2]} = by_time * seen_.row_fraction;
  if (jacobians[3] != nullptr) {
    Eigen::Map<Eigen::Matrix<double, 2, kOffsetSize, Eigen::RowMajor>>{jacobians[3]} = by_world * world_by_offset;
  }
  if (jacobians[4] != nullptr) {
    Eigen::Map<Eigen::Matrix<double, 2, kCameraSize, Eigen::RowMajor>>{jacobians[4]} = by_camera;
  }
  return true;
}

}  // namespace loftline
