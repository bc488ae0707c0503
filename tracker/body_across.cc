// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_across.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr int kRounds = 5;
constexpr double kSearchPx = 3.0;
constexpr double kTiltSpread = 0.08;  // rad; common practice: a stable rocket flies within a few degrees of its path

// A stretch of the body, in lengths from its middle, and how uneven it may be to both sides, in lengths.
struct Part {
  double centre = 0.0, half = 0.0, uneven = 0.0;
};
constexpr std::array<Part, 3> kParts{{{-0.36, 0.14, 0.02}, {0.0, 0.22, 0.003}, {0.36, 0.14, 0.006}}};

// Sums of one part of the body for each row across.
ProfileSignal SumPart(const BodyStrip& strip,
                      const ProfileSignal& along,
                      const SharedProfile::Extent& body,
                      const Part& part) {
  ProfileSignal across;
  if (!along.usable) return across;
  const double reach = 0.5 * static_cast<double>(along.values.size() - 1);
  const double centre = reach + along.shift_px + along.scale * (body.middle_px + part.centre * body.length_px);
  const double half_px = std::max(1.5, part.half * along.scale * body.length_px + 0.5 * along.streak_px);
  const Eigen::Index rows = strip.difference.rows();
  across.values = Eigen::VectorXd::Zero(rows);
  across.background = Eigen::VectorXd::Zero(rows);
  int columns = 0;
  for (Eigen::Index column = 0; column < along.values.size(); ++column) {
    if (std::abs(static_cast<double>(column) - centre) > half_px || along.valid[static_cast<std::size_t>(column)] == 0)
      continue;
    across.values += strip.difference.col(column);
    across.background.array() += strip.background[column];
    ++columns;
  }
  if (columns < 2) return across;
  across.values /= columns;
  across.background /= columns;
  across.scale = along.scale;
  across.mean_background = across.background[0];
  across.valid.assign(static_cast<std::size_t>(rows), 1);
  across.noise = kCorrelatedNoise * strip.noise / std::sqrt(static_cast<double>(columns));
  across.usable = true;
  return across;
}

struct PartFix {
  double at_px = 0.0;
  double var_px2 = 0.0;
};

std::vector<std::optional<PartFix>> MatchPart(const std::vector<BodyStrip>& strips,
                                              const std::vector<ProfileSignal>& along,
                                              const SharedProfile::Extent& body,
                                              const Part& part) {
  std::vector<ProfileSignal> signals;
  for (std::size_t i = 0; i < strips.size(); ++i) signals.push_back(SumPart(strips[i], along[i], body, part));
  std::vector<std::optional<PartFix>> fixes(strips.size());
  SharedProfile profile(true);
  if (!profile.Match(&signals, kRounds, kSearchPx)) return fixes;
  for (std::size_t i = 0; i < signals.size(); ++i) {
    if (!signals[i].usable) continue;
    const double uneven_px = part.uneven * signals[i].scale * body.length_px;
    fixes[i] = PartFix{signals[i].shift_px, profile.VarianceOfShift(signals[i]) + uneven_px * uneven_px};
  }
  return fixes;
}

}  // namespace

std::vector<std::optional<AcrossFix>> MeasureAcross(const std::vector<BodyStrip>& strips,
                                                    const std::vector<ProfileSignal>& along,
                                                    const SharedProfile::Extent& body) {
  std::array<std::vector<std::optional<PartFix>>, kParts.size()> of_part;
  for (std::size_t p = 0; p < kParts.size(); ++p) of_part[p] = MatchPart(strips, along, body, kParts[p]);
  std::vector<std::optional<AcrossFix>> fixes(strips.size());
  for (std::size_t i = 0; i < strips.size(); ++i) {
    // Unknowns: offset, and tilt with its spread beforehand.
    Eigen::Matrix2d normal = Eigen::Vector2d(1e-9, 1.0 / (kTiltSpread * kTiltSpread)).asDiagonal();
    Eigen::Vector2d right = Eigen::Vector2d::Zero();
    bool any = false;
    for (std::size_t p = 0; p < kParts.size(); ++p) {
      if (!of_part[p][i]) continue;
      const Eigen::Vector2d row(1.0, kParts[p].centre * along[i].scale * body.length_px);
      normal += row * row.transpose() / of_part[p][i]->var_px2;
      right += row * of_part[p][i]->at_px / of_part[p][i]->var_px2;
      any = true;
    }
    if (!any) continue;
    const Eigen::Matrix2d covariance = normal.inverse();
    const Eigen::Vector2d solved = covariance * right;
    fixes[i] = AcrossFix{solved[0], covariance(0, 0), solved[1]};
  }
  return fixes;
}

}  // namespace loftline
