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
// The tilt that is reported leans on nothing but the frame itself: drawn towards the path, a wobble would look smaller
// than it is. This much only keeps the line from standing up where a single part shows.
constexpr double kFreeTiltSpread = 0.5;
constexpr int kFreeTiltSteps = 22;
constexpr double kFreeUneven =
    0.3;  // of what is allowed for in the offset: what stays the same becomes a trim, no wobble

constexpr double kKnownTiltStd = 0.12;  // rad; a tilt that is known worse is not told
// Light from the side. A cylinder of that diameter and brightness (Lambert's law) has a first moment of light of
// brightness width^2 / 12 if it is lit from the side alone; the light around it and the picture's curve of brightness
// take about half of that.
constexpr double kUsualMoment = 1.0 / 24.0;
constexpr double kLengthOverWidth = 11.5;              // of paper rockets rolled about a launch tube, commonly
constexpr double kDarkest = 20.0, kBrightest = 250.0;  // grey levels that a body may have

// A stretch of the body, in lengths from its middle, and how uneven it may be to both sides, in lengths.
struct Part {
  double centre = 0.0, half = 0.0, uneven = 0.0;
};
// The middle keeps off the fins, so that their edge is not taken for it where it does not show itself.
constexpr std::size_t kTail = 0, kMiddle = 1;
constexpr std::array<Part, 3> kParts{{{-0.36, 0.14, 0.02}, {0.0, 0.20, 0.003}, {0.36, 0.14, 0.006}}};

double MiddleColumn(const ProfileSignal& along, const BodyExtent& body) {
  return 0.5 * static_cast<double>(along.values.size() - 1) + along.shift_px + along.scale * body.middle_px;
}

bool InPart(const ProfileSignal& along, const BodyExtent& body, const Part& part, Eigen::Index column) {
  const double length_px = along.scale * body.length_px;
  const double centre = MiddleColumn(along, body) + part.centre * length_px;
  const double half_px = std::max(1.5, part.half * length_px + 0.5 * along.streak_px);
  return std::abs(static_cast<double>(column) - centre) <= half_px &&
         along.valid[static_cast<std::size_t>(column)] != 0;
}

// Sums of one part of the body for each row across.
ProfileSignal SumPart(const BodyStrip& strip, const ProfileSignal& along, const BodyExtent& body, const Part& part) {
  ProfileSignal across;
  if (!along.usable) return across;
  const Eigen::Index rows = strip.difference.rows();
  across.values = Eigen::VectorXd::Zero(rows);
  across.background = Eigen::VectorXd::Zero(rows);
  int columns = 0;
  for (Eigen::Index column = 0; column < along.values.size(); ++column) {
    if (!InPart(along, body, part, column)) continue;
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
  ShiftCosts(const SharedProfile& profile, const ProfileSignal& signal) {
    for (int i = 0; i < kGrid; ++i) costs_[static_cast<std::size_t>(i)] = profile.Misfit(signal, ShiftOf(i));
    // What even the best shift leaves is noise too.
    const double best = *std::min_element(costs_.begin(), costs_.end());
    const double noise2 = std::max(signal.noise * signal.noise, best / static_cast<double>(signal.values.size()));
    const double explained = (signal.values.squaredNorm() - best) / noise2;
    for (double& cost : costs_) cost = explained < kLeastExplained ? 0.0 : cost / noise2;
    own_costs_ = costs_;
  }

  // The same for a part whose middle may lie to one side of the body's axis.
  ShiftCosts AllowingFor(double uneven_px) const {
    ShiftCosts allowing = *this;
    allowing.uneven_px_ = uneven_px;
    for (int i = 0; i < kGrid; ++i) {
      double least = 1e300;
      for (int j = 0; j < kGrid; ++j) {
        const double uneven = (i - j) * kGridStepPx / uneven_px;
        least = std::min(least, costs_[static_cast<std::size_t>(j)] + uneven * uneven);
      }
      allowing.costs_[static_cast<std::size_t>(i)] = least;
    }
    return allowing;
  }

  double At(double shift_px) const {
    const double place = std::clamp(shift_px / kGridStepPx + 0.5 * (kGrid - 1), 0.0, kGrid - 1.001);
    const auto i = static_cast<std::size_t>(place);
    const double share = place - static_cast<double>(i);
    return (1.0 - share) * costs_[i] + share * costs_[i + 1];
  }

  // The part's own best shift in the valley about SHIFT, by a parabola, and its variance as a place of the body's
  // middle; nothing where the curve does not bend up. By the curve without allowance: what is allowed for is known far
  // more finely than the grid, and would draw the shift to its nearest place.
  struct Lowest {
    double at_px = 0.0, var_px2 = 0.0;
  };
  std::optional<Lowest> LowestNear(double shift_px) const {
    const double place = shift_px / kGridStepPx + 0.5 * (kGrid - 1);
    auto i = static_cast<std::size_t>(std::clamp(std::lround(place), 1L, static_cast<long>(kGrid - 2)));
    for (int steps = 0; steps < kValleySteps && i > 1 && i < kGrid - 2; ++steps) {
      const std::size_t lower = own_costs_[i - 1] < own_costs_[i + 1] ? i - 1 : i + 1;
      if (own_costs_[lower] >= own_costs_[i]) break;
      i = lower;
    }
    const double before = own_costs_[i - 1], after = own_costs_[i + 1];
    const double bend = before - 2.0 * own_costs_[i] + after;
    if (bend <= 1e-6) return std::nullopt;
    const double step = std::clamp(0.5 * (before - after) / bend, -1.0, 1.0);
    return Lowest{ShiftOf(static_cast<int>(i)) + step * kGridStepPx,
                  2.0 * kGridStepPx * kGridStepPx / bend + uneven_px_ * uneven_px_};
  }

 private:
  static constexpr double kGridStepPx = 0.25;
  static constexpr int kGrid = 41;
  static constexpr int kValleySteps = 4;
  static double ShiftOf(int i) { return (i - 0.5 * (kGrid - 1)) * kGridStepPx; }

  std::array<double, kGrid> own_costs_{};  // of the part itself
  std::array<double, kGrid> costs_{};      // with what it may be uneven
  double uneven_px_ = 0.0;
};

// How far from the body's middle the part seen lies: of an evenly bright body, smeared along the path, the mean place
// of what falls into the part's columns. A streak brings tail and nose nearer to the middle.
double SmearedLeverPx(const ProfileSignal& along, const BodyExtent& body, const Part& part) {
  const double half_smear_px = 0.5 * std::max(1.0, along.streak_px);
  const double half_body_px = 0.5 * along.scale * body.length_px;
  double sum_px2 = 0.0, seen_px = 0.0;
  for (Eigen::Index column = 0; column < along.values.size(); ++column) {
    if (!InPart(along, body, part, column)) continue;
    const double at_px = static_cast<double>(column) - MiddleColumn(along, body);
    const double low_px = std::max(at_px - half_smear_px, -half_body_px);
    const double high_px = std::min(at_px + half_smear_px, half_body_px);
    if (high_px <= low_px) continue;
    sum_px2 += 0.5 * (low_px + high_px) * (high_px - low_px);
    seen_px += high_px - low_px;
  }
  return seen_px > 0.0 ? sum_px2 / seen_px : part.centre * along.scale * body.length_px;
}

// One part of the body on all looks.
struct PartMatch {
  std::vector<std::optional<ShiftCosts>> costs;
  std::vector<double> signal;      // body minus background, summed across: grey levels px, with its sign
  std::vector<double> background;  // grey levels
};

PartMatch MatchPart(const std::vector<BodyStrip>& strips,
                    const std::vector<ProfileSignal>& along,
                    const BodyExtent& body,
                    const Part& part) {
  std::vector<ProfileSignal> signals;
  for (std::size_t i = 0; i < strips.size(); ++i) signals.push_back(SumPart(strips[i], along[i], body, part));
  PartMatch match;
  match.costs.resize(strips.size());
  match.signal.resize(strips.size());
  match.background.resize(strips.size());
  SharedProfile profile(true);
  if (!profile.Match(&signals, kRounds, kSearchPx)) return match;
  for (std::size_t i = 0; i < signals.size(); ++i) {
    if (!signals[i].usable) continue;
    match.costs[i].emplace(profile, signals[i]);
    match.signal[i] = signals[i].scale * profile.SignalAt(signals[i].mean_background);
    match.background[i] = signals[i].mean_background;
  }
  return match;
}

double Median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// Brightness of the body's own paper where PART is, grey levels; of a profile that does not show, of no use but
// harmless.
double LightOf(const PartMatch& part, double width_px) {
  std::vector<double> lights;
  for (std::size_t i = 0; i < part.signal.size(); ++i) {
    if (part.costs[i]) lights.push_back(part.background[i] + part.signal[i] / width_px);
  }
  return lights.empty() ? kDarkest : std::clamp(Median(std::move(lights)), kDarkest, kBrightest);
}

// How far usual light from the side moves a part that shows SIGNAL. A shift beyond half the width is none: so faint a
// body is found by its outline, not by its middle.
double SideShiftPx(double signal, double light, double width_px) {
  const double moment = kUsualMoment * light * width_px * width_px;
  const double least = 2.0 * moment / width_px;
  return moment * signal / (signal * signal + least * least);
}

using PartCosts = std::array<const ShiftCosts*, kParts.size()>;
using PartLevers = std::array<double, kParts.size()>;

// One look's parts: how each fits at every shift, how far before the middle it lies, what light from the side does to
// it.
struct LookParts {
  PartCosts costs{};
  PartLevers levers_px{}, sides_px{};
};

// The line across all parts that fits best, its tilt within so many steps and expected to be small by TILT_SPREAD:
// first on a grid, since each part's curve may have several valleys, then by the parabolas of the valleys it lies in.
std::optional<AcrossFix> LineThrough(const LookParts& look, int tilt_steps, double tilt_spread) {
  const PartCosts& parts = look.costs;
  const PartLevers& levers_px = look.levers_px;
  AcrossFix best;
  double least = 1e300;
  for (int i = -tilt_steps; i <= tilt_steps; ++i) {
    const double tilt = i * kTiltStep;
    for (int j = -kOffsetSteps; j <= kOffsetSteps; ++j) {
      const double offset = j * kSearchPx / kOffsetSteps;
      double cost = std::pow(tilt / tilt_spread, 2);
      for (std::size_t p = 0; p < parts.size(); ++p) {
        if (parts[p] != nullptr) cost += parts[p]->At(offset + tilt * levers_px[p]);
      }
      if (cost < least) least = cost, best.offset_px = offset, best.tilt_rad = tilt;
    }
  }
  Eigen::Matrix2d normal = Eigen::Vector2d(1e-9, 1.0 / (tilt_spread * tilt_spread)).asDiagonal();
  Eigen::Vector2d right = Eigen::Vector2d::Zero(), right_of_side = Eigen::Vector2d::Zero();
  int shown = 0;
  for (std::size_t p = 0; p < parts.size(); ++p) {
    if (parts[p] == nullptr) continue;
    const auto lowest = parts[p]->LowestNear(best.offset_px + best.tilt_rad * levers_px[p]);
    if (!lowest) continue;
    const Eigen::Vector2d row(1.0, levers_px[p]);
    normal += row * row.transpose() / lowest->var_px2;
    right += row * lowest->at_px / lowest->var_px2;
    right_of_side += row * look.sides_px[p] / lowest->var_px2;
    ++shown;
  }
  if (shown == 0) return std::nullopt;
  const Eigen::Matrix2d covariance = normal.inverse();
  const Eigen::Vector2d solved = covariance * right;
  AcrossFix fix;
  fix.offset_px = solved[0];
  fix.var_px2 = covariance(0, 0);
  fix.tilt_rad = solved[1];
  fix.tilt_known = shown >= 2 && covariance(1, 1) < kKnownTiltStd * kKnownTiltStd;
  fix.side_px = (covariance * right_of_side)[0];
  return fix;
}

}  // namespace

std::vector<std::optional<AcrossFix>> MeasureAcross(const std::vector<BodyStrip>& strips,
                                                    const std::vector<ProfileSignal>& along,
                                                    const BodyExtent& body) {
  std::array<PartMatch, kParts.size()> of_part;
  std::array<double, kParts.size()> lights{};
  const double width_px = body.length_px / kLengthOverWidth;
  for (std::size_t p = 0; p < kParts.size(); ++p) {
    of_part[p] = MatchPart(strips, along, body, kParts[p]);
    lights[p] = LightOf(of_part[p], width_px);
  }
  lights[kTail] = lights[kMiddle];  // fins are flat; what is round between them is the body

  std::vector<std::optional<AcrossFix>> fixes(strips.size());
  for (std::size_t i = 0; i < strips.size(); ++i) {
    std::array<std::optional<ShiftCosts>, kParts.size()> allowing, free;
    LookParts with_spread, alone;
    for (std::size_t p = 0; p < kParts.size(); ++p) {
      const double length_px = along[i].scale * body.length_px;
      with_spread.levers_px[p] = kParts[p].centre * length_px;
      if (along[i].usable) alone.levers_px[p] = SmearedLeverPx(along[i], body, kParts[p]);
      if (!of_part[p].costs[i]) continue;
      allowing[p] = of_part[p].costs[i]->AllowingFor(kParts[p].uneven * length_px);
      free[p] = of_part[p].costs[i]->AllowingFor(kFreeUneven * kParts[p].uneven * length_px);
      with_spread.costs[p] = &*allowing[p];
      with_spread.sides_px[p] = SideShiftPx(of_part[p].signal[i], lights[p], along[i].scale * width_px);
      alone.costs[p] = &*free[p];
    }
    fixes[i] = LineThrough(with_spread, kTiltSteps, kTiltSpread);
    if (!fixes[i]) continue;
    const auto tilted = LineThrough(alone, kFreeTiltSteps, kFreeTiltSpread);
    fixes[i]->tilt_known = tilted && tilted->tilt_known;
    if (tilted) fixes[i]->tilt_rad = tilted->tilt_rad;
  }
  return fixes;
}

}  // namespace loftline
