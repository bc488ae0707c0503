// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/mend_simulator.h"

#include "core/uncertainty.h"
#include "fit/derived_quantities.h"
#include "fit/may_fly.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr double kCoverage = 0.95;

// One input of a launch, read from a motion and written into it.
struct Input {
  const char* key;
  const char* label;
  const char* unit;
  bool factor;  // its logarithm is what is sought
  bool of_launch;
  std::function<double(const MotionVector&)> of;
  std::function<void(double, MotionVector*)> set;
};

void SetLaunch(double speed_m_s, double angle_deg, MotionVector* motion) {
  (*motion)[kForwardMPerS] = speed_m_s * std::cos(RadFromDeg(angle_deg));
  (*motion)[kUpMPerS] = speed_m_s * std::sin(RadFromDeg(angle_deg));
}
double SpeedOf(const MotionVector& motion) {
  return std::hypot(motion[kForwardMPerS], motion[kUpMPerS]);
}
double AngleOf(const MotionVector& motion) {
  return DegFromRad(std::atan2(motion[kUpMPerS], motion[kForwardMPerS]));
}

std::vector<Input> Inputs() {
  return {{"drag",
           "drag",
           "",
           true,
           false,
           [](const MotionVector& motion) { return motion[kLogDrag]; },
           [](double value, MotionVector* motion) { (*motion)[kLogDrag] = value; }},
          {"launch_speed",
           "launch speed",
           "m/s",
           false,
           true,
           SpeedOf,
           [](double value, MotionVector* motion) { SetLaunch(value, AngleOf(*motion), motion); }},
          {"launch_angle",
           "launch angle",
           "deg",
           false,
           true,
           AngleOf,
           [](double value, MotionVector* motion) { SetLaunch(SpeedOf(*motion), value, motion); }},
          {"wind",
           "wind along the flight",
           "m/s",
           false,
           false,
           [](const MotionVector& motion) { return motion[kWindXMPerS]; },
           [](double value, MotionVector* motion) { (*motion)[kWindXMPerS] = value; }}};
}

// How the aligned path of the simulator moves when its motion becomes another.
class MovedPath {
 public:
  MovedPath(const PathError& error,
            const AlignedPath& aligned,
            const FittedMotion& motion,
            const EquivalentMotion& equivalent)
      : aligned_(aligned), conditions_(motion.conditions) {
    for (const FlownMoment& moment : error.moments) times_s_.push_back(moment.time_s);
    before_m_ = PathOf(equivalent.values);
    if (aligned.alignment.by == Align::kFit) {
      by_shift_ = Eigen::MatrixXd::Zero(before_m_.size(), 3);
      for (std::size_t i = 0; i < times_s_.size(); ++i) {
        const auto row = 2 * static_cast<Eigen::Index>(i);
        by_shift_.block<2, 1>(row, 0) = -aligned.VelocityAt(times_s_[i]);
        by_shift_.block<2, 2>(row, 1).setIdentity();
        if (aligned.path->heights_only()) by_shift_.row(row).setZero();
      }
    }
  }

  Eigen::VectorXd DeltaM(const MotionVector& motion) const {
    Eigen::VectorXd delta_m = PathOf(motion) - before_m_;
    if (by_shift_.size() > 0) delta_m -= by_shift_ * by_shift_.completeOrthogonalDecomposition().solve(delta_m);
    return delta_m;
  }

 private:
  Eigen::VectorXd PathOf(const MotionVector& motion) const {
    double later_s = 0.0;
    Eigen::Vector2d from_m = Eigen::Vector2d::Zero();
    if (aligned_.alignment.by == Align::kApogee) {
      const double top_s = Milestones(motion, conditions_, 0.0).time_to_apogee_s.value;
      later_s = top_s - TopS();
      from_m = FlyPlaces(motion, conditions_, {top_s}).front();
    }
    std::vector<double> times_s = times_s_;
    for (double& time_s : times_s) time_s += later_s;
    const std::vector<Eigen::Vector2d> places_m = FlyPlaces(motion, conditions_, times_s);
    Eigen::VectorXd path_m(2 * static_cast<Eigen::Index>(places_m.size()));
    for (std::size_t i = 0; i < places_m.size(); ++i) {
      path_m.segment<2>(2 * static_cast<Eigen::Index>(i)) = places_m[i] - from_m;
      if (aligned_.path->heights_only()) path_m[2 * static_cast<Eigen::Index>(i)] = 0.0;
    }
    return path_m;
  }
  double TopS() const {
    const std::optional<SimulatedApogee> own = aligned_.path->Apogee();
    return (own ? own->time_s : 0.0) + aligned_.alignment.time_shift_s;
  }

  const AlignedPath& aligned_;
  const FlightConditions& conditions_;
  std::vector<double> times_s_;
  Eigen::VectorXd before_m_;
  Eigen::MatrixXd by_shift_;
};

struct Found {
  double value = 0.0, std = 0.0, chi2 = 0.0;
};

// The value of INPUT that makes chi-square least, by Gauss and Newton with halved steps.
Found BestValue(const Input& input,
                const PathError& error,
                const ToldApart& told,
                const MovedPath& moved,
                const EquivalentMotion& equivalent,
                double start) {
  const auto error_at = [&](double value) -> Eigen::VectorXd {
    MotionVector motion = equivalent.values;
    input.set(value, &motion);
    return told.directions.transpose() * (error.error_m + moved.DeltaM(motion));
  };
  const double step = input.factor ? 1e-3 : 1e-3 * std::max(1.0, std::abs(start));
  Found found{start};
  Eigen::VectorXd error_m = error_at(start);
  found.chi2 = told.Chi2(error_m);
  for (int iteration = 0; iteration < 20; ++iteration) {
    const Eigen::VectorXd slope = (error_at(found.value + step) - error_at(found.value - step)) / (2.0 * step);
    const Eigen::VectorXd weighted = told.covariance_m2.ldlt().solve(slope);
    const double information = slope.dot(weighted);
    if (!(information > 0.0)) break;
    found.std = 1.0 / std::sqrt(information);
    double change = -error_m.dot(weighted) / information;
    if (std::abs(change) < 1e-3 * found.std) break;
    bool better = false;
    for (int halving = 0; halving < 8 && !better; ++halving, change *= 0.5) {
      MotionVector changed = equivalent.values;
      input.set(found.value + change, &changed);
      if (!MayFly(changed)) continue;
      const Eigen::VectorXd next_m = error_at(found.value + change);
      const double chi2 = next_m.allFinite() ? told.Chi2(next_m) : found.chi2;
      better = chi2 < found.chi2;
      if (!better) continue;
      found.value += change;
      found.chi2 = chi2;
      error_m = next_m;
    }
    if (!better) break;
  }
  return found;
}

Estimate Between(double value, double std, double coverage) {
  return {value, std, value - coverage * std, value + coverage * std};
}

// No rocket has such a drag or launch, and nobody launches in such a wind: a search that ends there has found nothing.
bool Possible(const Mend& mend) {
  constexpr double kLeastDragPerM = 1e-4, kMostDragPerM = 3.0, kMostWindMPerS = 30.0, kMostSpeedMPerS = 150.0;
  const Estimate& becomes = mend.becomes;
  if (!std::isfinite(becomes.low_95) || !std::isfinite(becomes.high_95) || !std::isfinite(mend.change.high_95))
    return false;
  if (mend.factor) return becomes.value > kLeastDragPerM && becomes.value < kMostDragPerM;
  if (mend.key == "wind") return std::abs(becomes.value) < kMostWindMPerS;
  if (mend.key == "launch_angle") return std::abs(becomes.value) < 180.0;
  return becomes.value > 0.0 && becomes.value < kMostSpeedMPerS;
}

Estimate AsFactor(const Estimate& logarithm) {
  const double value = std::exp(logarithm.value);
  return {value, value * logarithm.std, std::exp(logarithm.low_95), std::exp(logarithm.high_95)};
}

}  // namespace

std::vector<Mend> MendsOf(const PathError& error,
                          const ToldApart& told,
                          const AlignedPath& aligned,
                          const FittedMotion& motion,
                          const EquivalentMotion& equivalent,
                          bool launch_as_measured) {
  std::vector<Mend> mends;
  if (!equivalent.found) return mends;
  const MovedPath moved(error, aligned, motion, equivalent);
  const double coverage = CoverageFactor(told.dof_within, kCoverage);
  for (const Input& input : Inputs()) {
    if (input.of_launch && launch_as_measured) continue;
    const double now = input.of(equivalent.values);
    const double start = input.factor ? input.of(motion.values) : now;
    const Found found = BestValue(input, error, told, moved, equivalent, start);
    if (!(found.std > 0.0) || !std::isfinite(found.std)) continue;
    Mend mend{input.key, input.label, input.unit, input.factor};
    mend.change = Between(found.value - now, found.std, coverage);
    mend.becomes = Between(found.value, found.std, coverage);
    if (input.factor) mend.change = AsFactor(mend.change);
    if (input.factor) mend.becomes = AsFactor(mend.becomes);
    if (!Possible(mend)) continue;
    mend.chi2 = found.chi2;
    const int dof = static_cast<int>(told.error_m.size()) - 1;
    mend.p = Chi2Probability(found.chi2, dof, told.dof_within);
    mend.mends = mend.p >= kLeastProbability;
    mends.push_back(mend);
  }
  std::stable_sort(mends.begin(), mends.end(), [](const Mend& a, const Mend& b) { return a.chi2 < b.chi2; });
  return mends;
}

}  // namespace loftline
