// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/path_error.h"

#include "core/covariance_root.h"
#include "core/distributions.h"
#include "core/uncertainty.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

// What a simulator states of itself, and what its rows leave unknown between them, is an unknown curve within its band,
// not noise from moment to moment: a Gaussian process whose correlation falls to 1/sqrt(e) over a quarter of the time
// compared.
Eigen::MatrixXd SimulatorCovariance(const std::vector<FlownMoment>& moments, const AlignedPath& aligned) {
  const auto count = static_cast<Eigen::Index>(moments.size());
  std::vector<Eigen::Vector2d> stds_m;
  double largest_m = 0.0;
  for (const FlownMoment& moment : moments) {
    stds_m.push_back(aligned.path->TablePlaceStdM(aligned.OwnTimeS(moment.time_s)));
    largest_m = std::max(largest_m, stds_m.back().maxCoeff());
  }
  constexpr double kNegligibleM = 1e-5;
  if (!(largest_m > kNegligibleM)) return {};
  const double reach_s = 0.25 * (moments.back().time_s - moments.front().time_s);
  Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(2 * count, 2 * count);
  for (Eigen::Index i = 0; i < count; ++i) {
    for (Eigen::Index j = 0; j < count; ++j) {
      const std::size_t a = static_cast<std::size_t>(i), b = static_cast<std::size_t>(j);
      const double apart = (moments[a].time_s - moments[b].time_s) / reach_s;
      const double correlation = std::exp(-0.5 * apart * apart);
      for (int axis = 0; axis < 2; ++axis) {
        covariance(2 * i + axis, 2 * j + axis) = correlation * stds_m[a][axis] * stds_m[b][axis];
      }
    }
  }
  return covariance;
}

double RoundingStdM(const std::vector<FlownMoment>& moments, const AlignedPath& aligned) {
  double fastest_m_per_s = 0.0;
  for (const FlownMoment& moment : moments) {
    fastest_m_per_s = std::max(fastest_m_per_s, aligned.VelocityAt(moment.time_s).norm());
  }
  const double of_time_s = std::hypot(aligned.path->RoundingStdS(), aligned.time_table_std_s);
  return std::hypot(aligned.path->RoundingStdM().maxCoeff(), of_time_s * fastest_m_per_s);
}

// What may hide a change of gravity, and by how much it may change.
constexpr int kHiders = 4;
constexpr struct {
  MotionParameter parameter;
  double most;
} kHider[kHiders] = {{kForwardMPerS, 1.0}, {kUpMPerS, 1.0}, {kLogDrag, 1.0}, {kWindXMPerS, 3.0}};

// How much of each column of HIDING, those of kHider first, does the same as PATH_M, by least squares. A change that
// moves the path by next to nothing hides nothing: columns hang together.
Eigen::VectorXd Hiding(const Eigen::VectorXd& path_m, const Eigen::MatrixXd& hiding) {
  constexpr double kNextToNothingM = 1e-4;
  Eigen::VectorXd most = Eigen::VectorXd::Ones(hiding.cols());
  for (int j = 0; j < kHiders; ++j) most[j] = kHider[j].most;
  const Eigen::MatrixXd scaled = hiding * most.asDiagonal();
  Eigen::MatrixXd normal = scaled.transpose() * scaled;
  normal.diagonal().array() += kNextToNothingM * kNextToNothingM * static_cast<double>(path_m.size());
  return most.asDiagonal() * normal.ldlt().solve(scaled.transpose() * path_m);
}

}  // namespace

Eigen::MatrixXd ErrorByMotion(const std::vector<FlownMoment>& moments,
                              const AlignedPath& aligned,
                              const FittedMotion& motion,
                              const EquivalentMotion& equivalent,
                              bool launch_as_measured) {
  std::vector<FlownMoment> simulated = moments;
  if (launch_as_measured && equivalent.found) {
    std::vector<double> times_s;
    times_s.reserve(moments.size());
    for (const FlownMoment& moment : moments) times_s.push_back(moment.time_s);
    simulated = Fly(equivalent.values, motion.conditions, times_s);
  }
  Eigen::MatrixXd by_motion(2 * static_cast<Eigen::Index>(moments.size()), kMotionSize);
  for (std::size_t i = 0; i < moments.size(); ++i) {
    Eigen::Matrix<double, 2, kMotionSize> of_error = aligned.ErrorByMotion(moments[i]);
    if (launch_as_measured) {
      // Launch errors cancel; E is what drag and wind do from one flight to the other, by the mean of both derivatives.
      const Eigen::Matrix<double, 2, kMotionSize> of_measured = of_error;
      of_error -= 0.5 * (simulated[i].by_motion - moments[i].by_motion);
      for (const MotionParameter launch : {kForwardMPerS, kUpMPerS}) {
        of_error.col(launch) = of_measured.col(launch) + simulated[i].by_motion.col(launch);
      }
    }
    if (aligned.path->heights_only()) of_error.row(0).setZero();
    by_motion.middleRows<2>(2 * static_cast<Eigen::Index>(i)) = of_error;
  }
  return by_motion;
}

PathError PathErrorOf(const std::vector<FlownMoment>& moments,
                      const AlignedPath& aligned,
                      const FittedMotion& motion,
                      const EquivalentMotion& equivalent,
                      bool launch_as_measured) {
  PathError path;
  path.moments = moments;
  path.error_m = Eigen::VectorXd::Zero(2 * static_cast<Eigen::Index>(moments.size()));
  for (std::size_t i = 0; i < moments.size(); ++i) {
    Eigen::Vector2d error_m = aligned.PlaceAt(moments[i].time_s) - moments[i].place_m;
    if (aligned.path->heights_only()) error_m.x() = 0.0;
    path.error_m.segment<2>(2 * static_cast<Eigen::Index>(i)) = error_m;
  }
  path.compared = static_cast<double>(moments.size()) * (aligned.path->heights_only() ? 1.0 : 2.0);
  path.by_motion = ErrorByMotion(moments, aligned, motion, equivalent, launch_as_measured);
  path.simulator_covariance_m2 = SimulatorCovariance(moments, aligned);
  path.rounding_std_m = RoundingStdM(moments, aligned);
  return path;
}

GravityBend BendByGravity(const PathError& error, const AlignedPath& aligned, const FittedMotion& motion) {
  constexpr double kStepMPerS2 = 0.05;  // paths are as good as linear in so little
  FlightConditions heavier = motion.conditions;
  heavier.gravity_m_per_s2 += kStepMPerS2;
  std::vector<double> times_s;
  times_s.reserve(error.moments.size());
  for (const FlownMoment& moment : error.moments) times_s.push_back(moment.time_s);
  const std::vector<Eigen::Vector2d> places_m = FlyPlaces(motion.values, heavier, times_s);
  const Eigen::Index rows = error.error_m.size();
  Eigen::VectorXd measured_m = Eigen::VectorXd::Zero(rows);
  Eigen::MatrixXd hiding = Eigen::MatrixXd::Zero(rows, kHiders + 2);
  for (std::size_t i = 0; i < error.moments.size(); ++i) {
    for (int axis = aligned.path->heights_only() ? 1 : 0; axis < 2; ++axis) {
      const Eigen::Index row = 2 * static_cast<Eigen::Index>(i) + axis;
      measured_m[row] = places_m[i][axis] - error.moments[i].place_m[axis];
      for (int j = 0; j < kHiders; ++j) hiding(row, j) = error.moments[i].by_motion(axis, kHider[j].parameter);
      hiding(row, kHiders + axis) = 1.0;
    }
  }
  // The fit has changed launch, drag and wind by that much; E follows both, as it is laid.
  const Eigen::VectorXd changed = Hiding(measured_m, hiding.leftCols<kHiders>());
  Eigen::VectorXd error_m = aligned.LaidUnder(heavier, motion, error.moments) - measured_m;
  for (int j = 0; j < kHiders; ++j) error_m -= changed[j] * error.by_motion.col(kHider[j].parameter);
  const Eigen::VectorXd shape_m = measured_m - hiding * Hiding(measured_m, hiding);
  return {error_m / kStepMPerS2, shape_m / kStepMPerS2};
}

Eigen::VectorXd LessGravity(const Eigen::VectorXd& off_m, const Eigen::VectorXd& bent, double gravity_std_m_per_s2) {
  const double size = bent.squaredNorm();
  if (!(size > 0.0)) return off_m;
  const double most = 2.0 * gravity_std_m_per_s2;
  return off_m - std::clamp(bent.dot(off_m) / size, -most, most) * bent;
}

double ToldApart::Chi2(const Eigen::VectorXd& in_directions_m) const {
  return in_directions_m.dot(covariance_m2.ldlt().solve(in_directions_m));
}

Eigen::VectorXd ToldApart::Outside(const Eigen::VectorXd& change) const {
  return change - directions * (directions.transpose() * change);
}

namespace {

// The ways in which the motion's uncertainty moves the path, widest first, each with its standard uncertainty.
Eigen::JacobiSVD<Eigen::MatrixXd> WaysOf(const PathError& error, const FittedMotion& motion) {
  const Eigen::MatrixXd spread_m = error.by_motion * CovarianceRoot<kMotionSize>(motion.covariance);
  return Eigen::JacobiSVD<Eigen::MatrixXd>(spread_m, Eigen::ComputeThinU);
}

// E in the first COUNT of WAYS. FLOOR_M2: what each of them is uncertain by besides.
ToldApart AlongWays(const PathError& error,
                    const FittedMotion& motion,
                    const Eigen::JacobiSVD<Eigen::MatrixXd>& ways,
                    Eigen::Index count,
                    double floor_m2,
                    double path_noise_dof) {
  ToldApart told;
  told.directions = ways.matrixU().leftCols(count);
  told.error_m = told.directions.transpose() * error.error_m;
  told.covariance_m2 = (ways.singularValues().head(count).cwiseAbs2().array() + floor_m2).matrix().asDiagonal();
  if (error.simulator_covariance_m2.size() > 0) {
    told.covariance_m2 += told.directions.transpose() * error.simulator_covariance_m2 * told.directions;
  }
  told.outside_m = told.Outside(error.error_m);

  // Only the part that comes from the path's scatter has a size that was itself judged by few residuals.
  const Eigen::MatrixXd noise_m =
      told.directions.transpose() * error.by_motion * CovarianceRoot<kMotionSize>(motion.path_noise_part);
  const double share = noise_m.squaredNorm() / told.covariance_m2.trace();
  told.dof_within = share > 1e-9 ? path_noise_dof / (share * share) : kKnownDof;
  return told;
}

Eigen::Index WiderThan(const Eigen::JacobiSVD<Eigen::MatrixXd>& ways, double least_m) {
  const Eigen::VectorXd& stds_m = ways.singularValues();
  Eigen::Index count = 0;
  while (count < stds_m.size() && stds_m[count] > least_m) ++count;
  return count;
}

// By which each of WAYS is uncertain since no rocket is a point: all ways together share it.
double PointFlightM2(const PathError& error, Eigen::Index ways) {
  return kPointFlightRmsM * kPointFlightRmsM * error.compared / static_cast<double>(ways);
}

}  // namespace

ToldApart TellApart(const PathError& error, const FittedMotion& motion, double path_noise_dof) {
  const Eigen::JacobiSVD<Eigen::MatrixXd> ways = WaysOf(error, motion);
  const double of_point_m = kPointFlightRmsM * std::sqrt(error.compared);
  const double least_m = std::max(of_point_m, 3.0 * error.rounding_std_m);
  // A flight known to a hair is still compared, along its widest way.
  const Eigen::Index count = std::max<Eigen::Index>(WiderThan(ways, least_m), 1);
  const double floor_m2 = error.rounding_std_m * error.rounding_std_m + PointFlightM2(error, count);
  return AlongWays(error, motion, ways, count, floor_m2, path_noise_dof);
}

ToldApart TellApartInAllWays(const PathError& error, const FittedMotion& motion, double path_noise_dof) {
  constexpr double kMoves = 1e-3;  // of what the widest way does
  const Eigen::JacobiSVD<Eigen::MatrixXd> ways = WaysOf(error, motion);
  const Eigen::Index count = WiderThan(ways, kMoves * ways.singularValues()[0]);
  const double floor_m2 = error.rounding_std_m * error.rounding_std_m * error.compared + PointFlightM2(error, count);
  return AlongWays(error, motion, ways, count, floor_m2, path_noise_dof);
}

double Chi2Probability(double chi2, int dof, double dof_within) {
  constexpr double kAsGoodAsKnown = 1e6;
  constexpr double kNothingLeft = 1e-2;
  if (dof <= 0) return chi2 < kNothingLeft ? 1.0 : 0.0;  // nothing is left to chance
  if (!(dof_within < kAsGoodAsKnown)) return ChiSquareTail(chi2, dof);
  return FTail(chi2 / dof, dof, dof_within);
}

}  // namespace loftline
