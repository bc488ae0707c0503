// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_profile.h"

#include "tracker/body_across.h"
#include "tracker/body_strip.h"
#include "tracker/scatter.h"
#include "tracker/shared_profile.h"
#include "tracker/side_light.h"

#include <algorithm>
#include <cmath>

#include <opencv2/core/utility.hpp>

namespace loftline {
namespace {

constexpr int kLeastReachPx = 12, kMostReachPx = 70;
constexpr int kRounds = 5;
constexpr double kFirstSearchPx = 6.0, kLastSearchPx = 3.0, kWideSearchPx = 14.0, kNearPx = 2.0;
constexpr double kFloorAlongPx = 0.08, kFloorAcrossPx = 0.045;
constexpr double kLeastVariance_px2 = 0.01 * 0.01;
constexpr double kReliableStrength = 5.0, kReliableExplained = 0.25;
// Where the looks cannot tell: a phone that stands low and looks up by ten degrees or so, and a short exposure.
constexpr double kUsualGrowth = 0.15, kGrowthSpread = 0.15, kGrowthPenalty = 0.02, kExposurePenalty = 0.01;

// Splits the usable signals at the widest gap between dark and bright backgrounds (Otsu's threshold); 1 the brighter.
// Empty where the two are alike.
std::vector<char> BrightGroup(const std::vector<ProfileSignal>& signals) {
  constexpr double kApart = 40.0;  // grey levels
  std::vector<double> levels;
  for (const ProfileSignal& signal : signals) {
    if (signal.usable) levels.push_back(signal.mean_background);
  }
  std::sort(levels.begin(), levels.end());
  double total = 0.0, below = 0.0, best = -1.0, split = 0.0, apart = 0.0;
  for (const double level : levels) total += level;
  for (std::size_t i = 1; i < levels.size(); ++i) {
    below += levels[i - 1];
    const double low = static_cast<double>(i), high = static_cast<double>(levels.size() - i);
    const double gap = (total - below) / high - below / low;
    if (low * high * gap * gap <= best) continue;
    best = low * high * gap * gap;
    split = 0.5 * (levels[i - 1] + levels[i]);
    apart = gap;
  }
  if (apart < kApart) return {};
  std::vector<char> bright;
  bright.reserve(signals.size());
  for (const ProfileSignal& signal : signals) bright.push_back(signal.mean_background > split ? 1 : 0);
  return bright;
}

// A white body with dark fins shows only its body against trees and only its fins against the sky: brightness alone
// cannot tell how the two views lie to each other. Time can: the body does not jump when it passes from one background
// to the other.
void JoinGroups(std::vector<ProfileSignal>* signals) {
  const std::vector<char> bright = BrightGroup(*signals);
  if (bright.empty()) return;
  constexpr std::size_t kSide = 5;
  std::vector<std::size_t> usable;
  for (std::size_t i = 0; i < signals->size(); ++i) {
    if ((*signals)[i].usable) usable.push_back(i);
  }
  double jumps_px = 0.0, weight = 0.0;
  for (std::size_t j = 1; j < usable.size(); ++j) {
    if (bright[usable[j - 1]] == bright[usable[j]]) continue;
    double before = 0.0, after = 0.0, count_before = 0.0, count_after = 0.0;
    for (std::size_t k = 1; k <= kSide && k <= j && bright[usable[j - k]] == bright[usable[j - 1]]; ++k) {
      before += (*signals)[usable[j - k]].shift_px;
      count_before += 1.0;
    }
    for (std::size_t k = j; k < std::min(usable.size(), j + kSide) && bright[usable[k]] == bright[usable[j]]; ++k) {
      after += (*signals)[usable[k]].shift_px;
      count_after += 1.0;
    }
    const double jump_px = after / count_after - before / count_before;
    const double trust = std::min(count_before, count_after);
    jumps_px += trust * (bright[usable[j]] != 0 ? jump_px : -jump_px);
    weight += trust;
  }
  if (weight < 4.0) return;
  for (const std::size_t i : usable) {
    if (bright[i] != 0) (*signals)[i].shift_px -= jumps_px / weight;
  }
}

// Pixels a second. Before the launch the path only seems to be still faster.
double FastestSeen(const std::vector<BodyLook>& looks) {
  double fastest = 0.0, fastest_trusted = 0.0;
  std::size_t trusted = 0;
  for (const BodyLook& look : looks) {
    const double speed = look.smear_px_per_s;
    if (look.patch) fastest = std::max(fastest, speed);
    if (!look.trusted) continue;
    fastest_trusted = std::max(fastest_trusted, speed);
    ++trusted;
  }
  return trusted >= kEnoughTrusted ? fastest_trusted : fastest;
}

class Matcher {
 public:
  // LONGEST_EXPOSURE_S: what the windows must have room for. Trials of several exposures are compared over the same
  // pixels only.
  Matcher(const std::vector<BodyLook>& looks, const ProfileOptions& options, double longest_exposure_s)
      : looks_(looks) {
    const double longest_streak_px = longest_exposure_s * FastestSeen(looks);
    reach_ = std::clamp(static_cast<int>(std::ceil(0.5 * (options.body_length_px + longest_streak_px) + 9.0)),
                        kLeastReachPx,
                        kMostReachPx);
    half_ = static_cast<int>(std::ceil(options.half_width_px));
    strips_.resize(looks.size());
    along_.resize(looks.size());
    const double middle_y_px = MiddleY(looks);
    for (std::size_t i = 0; i < looks.size(); ++i) {
      along_[i].scale = looks[i].scale * std::exp(options.growth * (looks[i].first_y_px - middle_y_px) / 1000.0);
      Cut(looks[i], options.exposure_s, &strips_[i], &along_[i]);
    }
  }

  static double MiddleY(const std::vector<BodyLook>& looks) {
    double low = 1e9, high = -1e9;
    for (const BodyLook& look : looks) {
      if (!look.patch) continue;
      low = std::min(low, look.first_y_px);
      high = std::max(high, look.first_y_px);
    }
    return low <= high ? 0.5 * (low + high) : 0.0;
  }

  // Mean misfit of the profiles along, in variances of a value: how well the exposure explains the streaks.
  double MisfitAlong() {
    if (!MatchAlong(2)) return 1e300;
    double misfit = 0.0, count = 1e-9;
    for (const ProfileSignal& signal : along_) {
      if (!signal.usable) continue;
      // Square roots, so that a few frames with something else in the window do not decide.
      misfit += profile_.ResidualOf(signal).norm() / signal.noise;
      count += 1.0;
    }
    return misfit / count;
  }

  std::vector<std::optional<BodyFix>> Run() {
    std::vector<std::optional<BodyFix>> fixes(looks_.size());
    if (!MatchAlong(kRounds)) return fixes;
    // Rockets fly nose first, and noses taper.
    extent_ = profile_.FindExtent(along_);
    const std::vector<std::optional<AcrossFix>> across = MeasureAcross(strips_, along_, extent_);
    for (std::size_t i = 0; i < looks_.size(); ++i) {
      if (along_[i].usable && across[i]) fixes[i] = Fix(i, *across[i]);
    }
    Place(across, &fixes);
    return fixes;
  }

 private:
  static bool Reliable(const std::optional<BodyFix>& fix) {
    return fix && fix->strength >= kReliableStrength && fix->explained >= kReliableExplained;
  }

  // Light from one side pulls the places across the path. What is left unknown of it stays as a variance.
  SideLight FindSideLight(const std::vector<std::optional<AcrossFix>>& across,
                          const std::vector<std::optional<BodyFix>>& fixes) const {
    std::vector<SideLook> reliable;
    for (std::size_t i = 0; i < fixes.size(); ++i) {
      if (Reliable(fixes[i])) reliable.push_back(SideLookOf(i, *across[i]));
    }
    return EstimateSideLight(reliable);
  }

  SideLook SideLookOf(std::size_t i, const AcrossFix& across) const {
    const Eigen::Vector2d& axis = strips_[i].axis;
    return {looks_[i].patch->time_s, {-axis.y(), axis.x()}, across.offset_px, across.side_px};
  }

  // Places in the picture, and their covariances: the scatter from frame to frame as the flight itself shows it, and
  // what it cannot show, since all points share it.
  void Place(const std::vector<std::optional<AcrossFix>>& across, std::vector<std::optional<BodyFix>>* fixes) const {
    const SideLight light = FindSideLight(across, *fixes);
    std::vector<ScatterLook> along_looks, across_looks;
    for (std::size_t i = 0; i < fixes->size(); ++i) {
      if (!(*fixes)[i]) continue;
      BodyFix& fix = *(*fixes)[i];
      fix.across_px -= light.ShiftPx(SideLookOf(i, *across[i]));
      if (!Reliable(fix)) continue;
      const int frame = looks_[i].patch->frame;
      along_looks.push_back({frame, fix.along_px, VarianceAlong(i)});
      across_looks.push_back({frame, fix.across_px, VarianceAcross(*across[i])});
    }
    const double along_scale = ScatterScale(along_looks), across_scale = ScatterScale(across_looks);
    for (std::size_t i = 0; i < fixes->size(); ++i) {
      if (!(*fixes)[i]) continue;
      BodyFix& fix = *(*fixes)[i];
      const Eigen::Vector2d& axis = strips_[i].axis;
      const Eigen::Vector2d normal(-axis.y(), axis.x());
      fix.at_px = looks_[i].expected_px + axis * fix.along_px + normal * fix.across_px;
      const double var_along = along_scale * along_scale * VarianceAlong(i) + kFloorAlongPx * kFloorAlongPx +
                               std::pow(along_[i].scale * extent_.middle_std_px, 2);
      const double var_across = across_scale * across_scale * VarianceAcross(*across[i]) +
                                kFloorAcrossPx * kFloorAcrossPx + light.VariancePx2(SideLookOf(i, *across[i]));
      fix.cov_px2 = var_along * axis * axis.transpose() + var_across * normal * normal.transpose();
    }
  }

  double VarianceAlong(std::size_t i) const { return profile_.VarianceOfShift(along_[i]) + kLeastVariance_px2; }
  static double VarianceAcross(const AcrossFix& across) { return across.var_px2 + kLeastVariance_px2; }

  bool MatchAlong(int rounds) {
    // Where the body is known from some frames, the others are only searched for it.
    const auto trusted = std::count_if(
        along_.begin(), along_.end(), [](const ProfileSignal& signal) { return signal.usable && signal.learn; });
    const bool known = static_cast<std::size_t>(trusted) >= kEnoughTrusted;
    if (!known) SetLearn(true);
    if (!profile_.Estimate(along_)) return false;
    for (int round = 0; round < rounds; ++round) {
      if (known && round > 0) {
        profile_.ShiftNear(&along_, kNearPx);
      } else {
        profile_.Shift(&along_, known ? kWideSearchPx : round < 2 ? kFirstSearchPx : kLastSearchPx);
      }
      if (!known) JoinGroups(&along_);
      if (!profile_.Estimate(along_)) return false;
    }
    return true;
  }

  void SetLearn(bool learn) {
    for (ProfileSignal& signal : along_) signal.learn = learn;
  }

  void Cut(const BodyLook& look, double exposure_s, BodyStrip* strip, ProfileSignal* along) const {
    const double speed = look.velocity_px_per_s.norm();
    if (!look.patch || !(speed > 0.0)) return;
    *strip = CutStrip(*look.patch, look.expected_px, look.velocity_px_per_s / speed, reach_, half_);
    along->values = strip->difference.colwise().sum().transpose();
    along->background = strip->background;
    along->valid = strip->valid;
    along->mean_background = strip->background.sum() / std::max(1, strip->valid_columns);
    along->streak_px = exposure_s * look.smear_px_per_s;
    along->noise = kCorrelatedNoise * strip->noise * std::sqrt(static_cast<double>(2 * half_ + 1));
    along->shift_px = look.first_along_px;
    along->usable = strip->valid_columns > reach_;
    along->learn = look.trusted;
  }

  std::optional<BodyFix> Fix(std::size_t i, const AcrossFix& across) const {
    const ProfileSignal& along = along_[i];
    const Eigen::VectorXd residual = profile_.ResidualOf(along);
    const double expected = profile_.Expected(along, along.shift_px).norm();
    const double total = along.values.squaredNorm();
    if (!(total > 0.0) || !(expected > 0.0)) return std::nullopt;
    BodyFix fix;
    const double columns = static_cast<double>(residual.size());
    fix.strength = expected / std::max(along.noise, std::sqrt(residual.squaredNorm() / columns));
    fix.explained = std::clamp(1.0 - residual.squaredNorm() / total, 0.0, 1.0);
    fix.along_px = along.shift_px + along.scale * extent_.middle_px;
    fix.across_px = across.offset_px;
    fix.length_px = along.scale * extent_.length_px + along.streak_px;
    const Eigen::Vector2d& axis = strips_[i].axis;
    fix.axis_rad = std::atan2(axis.y(), axis.x()) + (across.tilt_known ? across.tilt_rad : 0.0);
    fix.axis_known = across.tilt_known;
    return fix;
  }

  const std::vector<BodyLook>& looks_;
  int reach_ = 0, half_ = 0;
  std::vector<BodyStrip> strips_;
  std::vector<ProfileSignal> along_;
  SharedProfile profile_;
  BodyExtent extent_;
};

// How badly each of the TRIALS explains the looks.
std::vector<double> Misfits(const std::vector<BodyLook>& looks, const std::vector<ProfileOptions>& trials) {
  std::vector<double> misfits(trials.size());
  double longest_exposure_s = 0.0;
  for (const ProfileOptions& trial : trials) longest_exposure_s = std::max(longest_exposure_s, trial.exposure_s);
  cv::parallel_for_(cv::Range(0, static_cast<int>(trials.size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const auto at = static_cast<std::size_t>(i);
      misfits[at] = Matcher(looks, trials[at], longest_exposure_s).MisfitAlong();
    }
  });
  return misfits;
}

// Of evenly spaced TRIALS the best, refined by the parabola through it and its neighbours.
double BestGrowth(const std::vector<BodyLook>& looks, ProfileOptions options, const std::vector<double>& trials) {
  std::vector<ProfileOptions> each;
  for (const double growth : trials) {
    options.growth = growth;
    each.push_back(options);
  }
  std::vector<double> sizes = Misfits(looks, each);
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    const double off = (trials[i] - kUsualGrowth) / kGrowthSpread;
    sizes[i] *= 1.0 + kGrowthPenalty * off * off;
  }
  const auto least = static_cast<std::size_t>(std::min_element(sizes.begin(), sizes.end()) - sizes.begin());
  if (least == 0 || least + 1 == sizes.size()) return trials[least];
  const double bend = sizes[least - 1] - 2.0 * sizes[least] + sizes[least + 1];
  if (!(bend > 0.0)) return trials[least];
  const double step = std::clamp(0.5 * (sizes[least - 1] - sizes[least + 1]) / bend, -0.5, 0.5);
  return trials[least] + step * (trials[1] - trials[0]);
}

// At most MOST_S.
double BestExposure(const std::vector<BodyLook>& looks, ProfileOptions options, double most_s) {
  const std::vector<double> shares{0.0, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 0.95};
  std::vector<ProfileOptions> each;
  for (const double share : shares) {
    options.exposure_s = share * most_s;
    each.push_back(options);
  }
  std::vector<double> sizes = Misfits(looks, each);
  for (std::size_t i = 0; i < sizes.size(); ++i) sizes[i] *= 1.0 + kExposurePenalty * shares[i];
  return each[static_cast<std::size_t>(std::min_element(sizes.begin(), sizes.end()) - sizes.begin())].exposure_s;
}

}  // namespace

ProfileOptions BestOptions(const std::vector<BodyLook>& looks, const ProfileOptions& options, bool growth_known) {
  constexpr std::size_t kMostLooks = 30;
  std::vector<BodyLook> from;
  for (const BodyLook& look : looks) {
    if (look.trusted) from.push_back(look);
  }
  if (from.size() < kEnoughTrusted) from = looks;
  std::vector<BodyLook> some;
  for (std::size_t i = 0; i < std::min(kMostLooks, from.size()); ++i) {
    some.push_back(from[i * from.size() / std::min(kMostLooks, from.size())]);
  }
  ProfileOptions best = options;
  best.exposure_s = 0.0;
  if (!growth_known) best.growth = BestGrowth(some, best, {-0.15, 0.0, 0.15, 0.3, 0.45, 0.6});
  best.exposure_s = BestExposure(some, best, options.exposure_s);
  best.growth = BestGrowth(some, best, {best.growth - 0.1, best.growth, best.growth + 0.1});
  return best;
}

std::vector<std::optional<BodyFix>> MeasureTogether(const std::vector<BodyLook>& looks, const ProfileOptions& options) {
  if (looks.size() < 5) return std::vector<std::optional<BodyFix>>(looks.size());
  return Matcher(looks, options, options.exposure_s).Run();
}

}  // namespace loftline
