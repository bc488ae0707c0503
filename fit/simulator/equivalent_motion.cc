// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/equivalent_motion.h"

#include "fit/may_fly.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

// Besides speed, drag and wind, where the simulator's path begins: with --align none that is its own affair.
enum { kForward, kUp, kLnDrag, kWind, kBeginX, kBeginY, kUnknowns };
using Unknowns = Eigen::Matrix<double, kUnknowns, 1>;
constexpr MotionParameter kOfMotion[] = {kForwardMPerS, kUpMPerS, kLogDrag, kWindXMPerS};

// How far each may lie from the measured motion's: hardly a bound, but a path without drag has no ln k, and a table of
// heights alone has no forward speed.
Unknowns PriorStd(const FittedMotion& motion, bool heights_only) {
  Unknowns std;
  std << 1e3, 1e3, 3.0, 1.0, 1.0, 1.0;
  if (heights_only) std[kForward] = 0.3 * motion.values[kForwardMPerS] + 0.1;
  return std;
}

MotionVector MotionOf(const FittedMotion& motion, const Unknowns& unknowns) {
  MotionVector values = motion.values;
  for (int i = 0; i < 4; ++i) values[kOfMotion[i]] = unknowns[i];
  values[kAzimuthRad] = 0.0;
  values[kLogDragChange] = 0.0;
  return values;
}

class Misfit {
 public:
  Misfit(const AlignedPath& aligned, const FittedMotion& motion, const std::vector<FlownMoment>& moments)
      : motion_(motion), heights_only_(aligned.path->heights_only()) {
    conditions_ = motion.conditions;
    conditions_.drag_change_s = std::numeric_limits<double>::infinity();
    for (const FlownMoment& moment : moments) {
      times_s_.push_back(moment.time_s);
      places_m_.push_back(aligned.PlaceAt(moment.time_s));
    }
    const Eigen::Vector2d start_m_per_s = aligned.VelocityAt(std::max(0.0, times_s_.front()));
    prior_ << (heights_only_ ? motion.values[kForwardMPerS] : start_m_per_s.x()), start_m_per_s.y(),
        motion.values[kLogDrag], motion.values[kWindXMPerS], 0.0, 0.0;
    prior_std_ = PriorStd(motion, heights_only_);
    const Eigen::Vector2d rounding_m = aligned.path->RoundingStdM();
    noise_m_ = std::hypot(1e-3, rounding_m.maxCoeff());
  }

  const Unknowns& start() const { return prior_; }

  // Whitened residuals and their derivatives.
  void Evaluate(const Unknowns& unknowns, Eigen::VectorXd* residuals, Eigen::MatrixXd* by_unknowns) const {
    const std::vector<FlownMoment> flown = Fly(MotionOf(motion_, unknowns), conditions_, times_s_);
    const auto rows = static_cast<Eigen::Index>(2 * flown.size());
    *residuals = Eigen::VectorXd::Zero(rows + kUnknowns);
    *by_unknowns = Eigen::MatrixXd::Zero(rows + kUnknowns, kUnknowns);
    for (std::size_t i = 0; i < flown.size(); ++i) {
      for (int axis = heights_only_ ? 1 : 0; axis < 2; ++axis) {
        const Eigen::Index row = static_cast<Eigen::Index>(2 * i) + axis;
        const double off_m = flown[i].place_m[axis] + unknowns[kBeginX + axis] - places_m_[i][axis];
        (*residuals)[row] = off_m / noise_m_;
        for (int j = 0; j < 4; ++j) (*by_unknowns)(row, j) = flown[i].by_motion(axis, kOfMotion[j]) / noise_m_;
        (*by_unknowns)(row, kBeginX + axis) = 1.0 / noise_m_;
      }
    }
    for (int j = 0; j < kUnknowns; ++j) {
      (*residuals)[rows + j] = (unknowns[j] - prior_[j]) / prior_std_[j];
      (*by_unknowns)(rows + j, j) = 1.0 / prior_std_[j];
    }
  }

  // Of Evaluate's residuals, in metres: how far the simulator's path lies off.
  Eigen::VectorXd OffM(const Eigen::VectorXd& residuals) const {
    return -noise_m_ * residuals.head(residuals.size() - kUnknowns);
  }

 private:
  const FittedMotion& motion_;
  FlightConditions conditions_;
  bool heights_only_;
  std::vector<double> times_s_;
  std::vector<Eigen::Vector2d> places_m_;
  Unknowns prior_, prior_std_;
  double noise_m_ = 1e-3;
};

}  // namespace

EquivalentMotion EquivalentOf(const AlignedPath& aligned,
                              const FittedMotion& motion,
                              const std::vector<FlownMoment>& moments) {
  const Misfit misfit(aligned, motion, moments);
  Unknowns unknowns = misfit.start();
  EquivalentMotion equivalent;
  if (!MayFly(MotionOf(motion, unknowns))) return equivalent;
  Eigen::VectorXd residuals;
  Eigen::MatrixXd by_unknowns;
  misfit.Evaluate(unknowns, &residuals, &by_unknowns);
  double damping = 1e-6;
  for (int iteration = 0; iteration < 40; ++iteration) {
    Eigen::Matrix<double, kUnknowns, kUnknowns> normal = by_unknowns.transpose() * by_unknowns;
    normal.diagonal() *= 1.0 + damping;
    const Unknowns step = normal.ldlt().solve(-by_unknowns.transpose() * residuals);
    const double before = residuals.squaredNorm();
    Eigen::VectorXd next_residuals;
    Eigen::MatrixXd next_by_unknowns;
    const Unknowns next = unknowns + step;
    const bool flies = next.allFinite() && MayFly(MotionOf(motion, next));
    if (flies) misfit.Evaluate(next, &next_residuals, &next_by_unknowns);
    if (!flies || !(next_residuals.squaredNorm() <= before)) {
      damping = std::max(10.0 * damping, 1e-4);
      if (damping > 1e8) break;
      continue;
    }
    unknowns = next;
    residuals = next_residuals;
    by_unknowns = next_by_unknowns;
    damping = 0.1 * damping;
    if (before - residuals.squaredNorm() < 1e-9 * before + 1e-12) break;
  }
  equivalent.values = MotionOf(motion, unknowns);
  equivalent.off_m = misfit.OffM(residuals);
  equivalent.found = true;
  return equivalent;
}

}  // namespace loftline
