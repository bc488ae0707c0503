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
constexpr int kTiltSteps = 10, kOffsetSteps = 12;
constexpr double kLeastExplained = 16.0;  // variances: a profile learned from noise explains less of one frame
constexpr double kTiltSpread = 0.08;  // rad; common practice: a stable rocket flies within a few degrees of its path
constexpr double kTiltStep = 0.25 * kTiltSpread;

// A stretch of the body, in lengths from its middle, and how uneven it may be to both sides, in lengths.
struct Part {
  double centre = 0.0, half = 0.0, uneven = 0.0;
};
// The middle keeps off the fins, so that their edge is not taken for it where it does not show itself.
constexpr std::array<Part, 3> kParts{{{-0.36, 0.14, 0.02}, {0.0, 0.20, 0.003}, {0.36, 0.14, 0.006}}};

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

// How badly one part fits at every shift of a grid, in variances; of a part that does not show, the curve is flat.
class ShiftCosts {
 public:
  ShiftCosts(const SharedProfile& profile, const ProfileSignal& signal, double uneven_px) {
    std::array<double, kGrid> misfits{};
    for (int i = 0; i < kGrid; ++i) misfits[static_cast<std::size_t>(i)] = profile.Misfit(signal, ShiftOf(i));
    // What even the best shift leaves is noise too.
    const double left = *std::min_element(misfits.begin(), misfits.end()) / static_cast<double>(signal.values.size());
    const double noise2 = std::max(signal.noise * signal.noise, left);
    const double explained = (signal.values.squaredNorm() - *std::min_element(misfits.begin(), misfits.end())) / noise2;
    if (explained < kLeastExplained) return;
    for (int i = 0; i < kGrid; ++i) {
      double least = 1e300;
      for (int j = 0; j < kGrid; ++j) {
        const double uneven = (i - j) * kGridStepPx / uneven_px;
        least = std::min(least, misfits[static_cast<std::size_t>(j)] / noise2 + uneven * uneven);
      }
      costs_[static_cast<std::size_t>(i)] = least;
    }
  }

  double At(double shift_px) const {
    const double place = std::clamp(shift_px / kGridStepPx + 0.5 * (kGrid - 1), 0.0, kGrid - 1.001);
    const auto i = static_cast<std::size_t>(place);
    const double share = place - static_cast<double>(i);
    return (1.0 - share) * costs_[i] + share * costs_[i + 1];
  }

  // The parabola near SHIFT: its lowest shift and that one's variance; nothing where the curve does not bend up.
  struct Lowest {
    double at_px = 0.0, var_px2 = 0.0;
  };
  std::optional<Lowest> LowestNear(double shift_px) const {
    const double before = At(shift_px - kGridStepPx), after = At(shift_px + kGridStepPx);
    const double bend = before - 2.0 * At(shift_px) + after;
    if (bend <= 1e-6) return std::nullopt;
    const double step = std::clamp(0.5 * (before - after) / bend, -1.0, 1.0);
    return Lowest{shift_px + step * kGridStepPx, 2.0 * kGridStepPx * kGridStepPx / bend};
  }

 private:
  static constexpr double kGridStepPx = 0.25;
  static constexpr int kGrid = 41;
  static double ShiftOf(int i) { return (i - 0.5 * (kGrid - 1)) * kGridStepPx; }

  std::array<double, kGrid> costs_{};
};

std::vector<std::optional<ShiftCosts>> MatchPart(const std::vector<BodyStrip>& strips,
                                                 const std::vector<ProfileSignal>& along,
                                                 const SharedProfile::Extent& body,
                                                 const Part& part) {
  std::vector<ProfileSignal> signals;
  for (std::size_t i = 0; i < strips.size(); ++i) signals.push_back(SumPart(strips[i], along[i], body, part));
  std::vector<std::optional<ShiftCosts>> costs(strips.size());
  SharedProfile profile(true);
  if (!profile.Match(&signals, kRounds, kSearchPx)) return costs;
  for (std::size_t i = 0; i < signals.size(); ++i) {
    if (signals[i].usable) costs[i].emplace(profile, signals[i], part.uneven * signals[i].scale * body.length_px);
  }
  return costs;
}

// The line across all parts that fits best: first on a grid, since each part's curve may have several valleys, then by
// the parabolas of the valleys it lies in.
std::optional<AcrossFix> LineThrough(const std::array<const ShiftCosts*, kParts.size()>& parts,
                                     const std::array<double, kParts.size()>& levers_px) {
  AcrossFix best;
  double least = 1e300;
  for (int i = -kTiltSteps; i <= kTiltSteps; ++i) {
    const double tilt = i * kTiltStep;
    for (int j = -kOffsetSteps; j <= kOffsetSteps; ++j) {
      const double offset = j * kSearchPx / kOffsetSteps;
      double cost = std::pow(tilt / kTiltSpread, 2);
      for (std::size_t p = 0; p < parts.size(); ++p) {
        if (parts[p] != nullptr) cost += parts[p]->At(offset + tilt * levers_px[p]);
      }
      if (cost < least) least = cost, best = AcrossFix{offset, 0.0, tilt};
    }
  }
  Eigen::Matrix2d normal = Eigen::Vector2d(1e-9, 1.0 / (kTiltSpread * kTiltSpread)).asDiagonal();
  Eigen::Vector2d right = Eigen::Vector2d::Zero();
  bool any = false;
  for (std::size_t p = 0; p < parts.size(); ++p) {
    if (parts[p] == nullptr) continue;
    const auto lowest = parts[p]->LowestNear(best.offset_px + best.tilt_rad * levers_px[p]);
    if (!lowest) continue;
    const Eigen::Vector2d row(1.0, levers_px[p]);
    normal += row * row.transpose() / lowest->var_px2;
    right += row * lowest->at_px / lowest->var_px2;
    any = true;
  }
  if (!any) return std::nullopt;
  const Eigen::Matrix2d covariance = normal.inverse();
  const Eigen::Vector2d solved = covariance * right;
  return AcrossFix{solved[0], covariance(0, 0), solved[1]};
}

}  // namespace

std::vector<std::optional<AcrossFix>> MeasureAcross(const std::vector<BodyStrip>& strips,
                                                    const std::vector<ProfileSignal>& along,
                                                    const SharedProfile::Extent& body) {
  std::array<std::vector<std::optional<ShiftCosts>>, kParts.size()> of_part;
  for (std::size_t p = 0; p < kParts.size(); ++p) of_part[p] = MatchPart(strips, along, body, kParts[p]);
  std::vector<std::optional<AcrossFix>> fixes(strips.size());
  for (std::size_t i = 0; i < strips.size(); ++i) {
    std::array<const ShiftCosts*, kParts.size()> parts{};
    std::array<double, kParts.size()> levers_px{};
    for (std::size_t p = 0; p < kParts.size(); ++p) {
      parts[p] = of_part[p][i] ? &*of_part[p][i] : nullptr;
      levers_px[p] = kParts[p].centre * along[i].scale * body.length_px;
    }
    fixes[i] = LineThrough(parts, levers_px);
  }
  return fixes;
}

}  // namespace loftline
