// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_model.h"
#include "fit/flight_problem.h"

#include <vector>

#include <ceres/evaluation_callback.h>
#include <ceres/jet.h>
#include <ceres/sized_cost_function.h>

namespace loftline {

// The last derivative is that by time.
using MotionJet = ceres::Jet<double, kMotionSize + 1>;

// The flight's states at all points' exposure times, integrated once per evaluation instead of once per point.
class PathNodes : public ceres::EvaluationCallback {
 public:
  PathNodes(const std::vector<SeenPoint>& points, const FlightConditions& conditions, const FlightUnknowns* unknowns);

  void PrepareForEvaluation(bool evaluate_jacobians, bool new_evaluation_point) override;

  // Takes effect with the next evaluation.
  void ChangeDragAt(double change_s);

  // False where the parameters are beyond anything that flies; the states are then stale.
  bool valid() const { return valid_; }
  // Where the body's middle is at point INDEX, with derivatives by the motion parameters and time where the last
  // evaluation asked for any.
  const FlightState<MotionJet>& state(std::size_t index) const { return states_[index]; }
  const CameraRotation& rotation() const { return rotation_; }

 private:
  const std::vector<SeenPoint>& points_;
  FlightConditions conditions_;
  template <typename T>
  void FlyThrough(const FlightForces<T>& forces, const FlightState<T>& launch, const std::vector<double>& times_s);
  std::vector<double> TimesS() const;

  const FlightUnknowns* unknowns_;
  std::vector<FlightState<MotionJet>> states_;
  bool stale_ = false;
  CameraRotation rotation_;
  bool valid_ = false, with_derivatives_ = false;
};

// Forces and launch state with derivatives by the motion parameters.
FlightForces<MotionJet> ForcesOf(const MotionVector& motion, const FlightConditions& conditions);
FlightForces<double> ValuesOf(const FlightForces<MotionJet>& forces);
FlightState<MotionJet> LaunchStateOf(const MotionVector& motion);
FlightState<double> ValuesOf(const FlightState<MotionJet>& state);

// Misfit of one track point, in standard deviations: U (px_from_world(middle(t)) - seen), U'U = inverse(cov_px2),
// t = stamp + readout * row fraction - launch time. Blocks: motion [kMotionSize], launch time [1] s, readout [1] s,
// body offset [kOffsetSize] m, camera [kCameraSize].
class PointError : public ceres::SizedCostFunction<2, kMotionSize, 1, 1, kOffsetSize, kCameraSize> {
 public:
  PointError(const SeenPoint& seen,
             std::size_t index,
             double noise_scale,
             const Eigen::Vector2d& principal_px,
             const PathNodes& nodes);

  bool Evaluate(const double* const* blocks, double* residuals, double** jacobians) const override;

 private:
  SeenPoint seen_;
  std::size_t index_;
  Eigen::Matrix2d sqrt_information_;
  Eigen::Vector2d principal_px_;
  const PathNodes& nodes_;
};

}  // namespace loftline
