// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/turn_fit.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

using TurnVector = Eigen::Matrix<double, kTurnSize, 1>;
using OtherMatrix = Eigen::Matrix<double, kTurnSize - 1, kTurnSize - 1>;
using OtherVector = Eigen::Matrix<double, kTurnSize - 1, 1>;

struct Normal {
  TurnMatrix matrix = TurnMatrix::Zero();
  TurnVector right = TurnVector::Zero();
};

void AddPrior(int which, double off, double std, Normal* normal) {
  const double information = 1.0 / (std * std);
  normal->matrix(which, which) += information;
  normal->right[which] -= information * off;
}

void AddPriors(const TurnFit& fit, const TurnFitOptions& options, Normal* normal) {
  AddPrior(3, fit.turn.swell, options.swell_std, normal);
  for (int i = 0; i < 2; ++i) {
    const double off = fit.turn.readout_turn_rad[i] - options.readout_turn_rad[i];
    AddPrior(4 + i, off, options.readout_turn_std_rad, normal);
  }
  AddPrior(6, fit.focal_log, options.focal_log_std, normal);
  normal->matrix.diagonal().head<3>().array() += 1e-9;  // nothing seen: stay
}

// Standard deviations are stated, not known: where even the best third of the sights misses by more, all are wider by
// that. (30 % of two-dimensional normal deviates are shorter than 0.845.)
double StatedTooSmallBy(std::vector<double> misfit_std) {
  if (misfit_std.empty()) return 1.0;
  const auto third = misfit_std.begin() + static_cast<std::ptrdiff_t>(3 * misfit_std.size() / 10);
  std::nth_element(misfit_std.begin(), third, misfit_std.end());
  return std::max(1.0, *third / 0.845);
}

// The biweight of A. E. Beaton and J. W. Tukey (Technometrics 16, 1974): zero beyond its width.
double Share(double misfit_std, double width_std) {
  const double off = misfit_std / width_std;
  return off >= 1.0 ? 0.0 : (1 - off * off) * (1 - off * off);
}

// The sights' normal equations about the fit as it is, sights beyond the width left out.
Normal Gather(const std::vector<TurnSight>& sights, const PinholeView& view, double width_std, TurnFit* fit) {
  PinholeView longer = view;
  longer.focal_px *= 1 + kFocalStep;
  Normal normal;
  double misfit = 0.0;
  fit->fitting = 0.0;
  for (std::size_t i = 0; i < sights.size(); ++i) {
    const TurnSight& sight = sights[i];
    const double row_share = view.RowShare(sight.at_px);
    const Eigen::Vector2d there_px = PxOnRow(fit->turn, view, sight.ray, row_share);
    TurnJacobian jacobian = TurnJacobianAt(fit->turn, view, sight.ray, row_share);
    jacobian.col(6) = (PxOnRow(fit->turn, longer, sight.ray_longer_focal, row_share) - there_px) / kFocalStep;
    const Eigen::Vector2d off_px = sight.at_px - there_px - fit->focal_log * jacobian.col(6);
    const double off_std = off_px.norm() / std::sqrt(sight.variance_px2);
    const double share = Share(off_std, width_std);
    fit->off_px[i] = off_px;
    fit->off_std[i] = off_std;
    fit->share[i] = share;
    if (share <= 0) continue;
    fit->fitting += share;
    misfit += share * off_std * off_std;
    const double weight = share / sight.variance_px2;
    normal.matrix.selfadjointView<Eigen::Lower>().rankUpdate(jacobian.transpose(), weight);
    normal.right += weight * jacobian.transpose() * off_px;
  }
  normal.matrix = TurnMatrix(normal.matrix.selfadjointView<Eigen::Lower>());
  fit->noise_ratio = std::sqrt(misfit / std::max(1.0, 2 * fit->fitting - 6));
  return normal;
}

// What the sights say about the focal length when everything else follows.
void JudgeFocal(const Normal& data, const Normal& all, TurnFit* fit) {
  const Eigen::LDLT<OtherMatrix> others(OtherMatrix(all.matrix.topLeftCorner<kTurnSize - 1, kTurnSize - 1>()));
  const OtherVector column = all.matrix.topRightCorner<kTurnSize - 1, 1>();
  const OtherVector right = all.right.head<kTurnSize - 1>();
  fit->focal_information = data.matrix(6, 6) - column.dot(others.solve(column));
  const double pull = data.right[6] - column.dot(others.solve(right));
  fit->focal_log_alone = fit->focal_log + pull / std::max(fit->focal_information, 1e-9);
}

}  // namespace

TurnFit FitTurn(const std::vector<TurnSight>& sights,
                const PinholeView& view,
                const CameraTurn& start,
                const TurnFitOptions& options) {
  TurnFit fit;
  fit.turn = start;
  fit.share.assign(sights.size(), 0.0);
  fit.off_std.assign(sights.size(), 0.0);
  fit.off_px.assign(sights.size(), Eigen::Vector2d::Zero());
  double too_small_by = 1.0;
  for (int step = 0; step < options.steps; ++step) {
    // The width closes in over the first steps and stays there for the last.
    const double progress = options.steps > 1 ? std::min(1.0, step / (0.6 * (options.steps - 1))) : 1.0;
    const double width_std = options.widest_std * std::pow(options.narrowest_std / options.widest_std, progress);
    const Normal data = Gather(sights, view, width_std * too_small_by, &fit);
    too_small_by = StatedTooSmallBy(fit.off_std);
    Normal all = data;
    AddPriors(fit, options, &all);
    const Eigen::LDLT<TurnMatrix> solver(all.matrix);
    const TurnVector change = solver.solve(all.right);
    if (!change.allFinite()) break;
    if (step + 1 == options.steps) {
      fit.covariance = solver.solve(TurnMatrix::Identity());
      JudgeFocal(data, all, &fit);
    }
    fit.turn.frame_from_reference = RotationFromVector(change.head<3>()) * fit.turn.frame_from_reference;
    fit.turn.swell += change[3];
    fit.turn.readout_turn_rad += change.segment<2>(4);
    fit.focal_log += change[6];
  }
  return fit;
}

}  // namespace loftline
