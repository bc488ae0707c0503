// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_profile.h"

#include "tracker/shared_profile.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr int kLeastReachPx = 12, kMostReachPx = 70;
constexpr int kRounds = 5;
constexpr double kFirstSearchPx = 6.0, kLastSearchPx = 3.0;
constexpr double kLeastNoise = 0.8;  // grey levels
constexpr double kCorrelatedNoise =
    1.5;  // compression leaves neighbours alike: sums are noisier than independent pixels'
constexpr double kFloorAlongPx = 0.08, kFloorAcrossPx = 0.06;
// The part of the body that tells where its axis is: fins, wide and seldom even to both sides, lie behind it, the nose
// before. It is even about the middle, so that a tilt against the path does not shift it.
constexpr double kMiddlePartShare = 0.25;

// The window turned into the path's axes: columns along (a = -reach..reach), rows across (b = -half..half).
struct Strip {
  Eigen::MatrixXd difference;
  Eigen::VectorXd background;  // on the axis
  Eigen::Vector2d axis = Eigen::Vector2d::UnitX();
  double noise = kLeastNoise;  // of a pixel
};

double Bilinear(const cv::Mat& image, double x, double y) {
  const int left = static_cast<int>(x), top = static_cast<int>(y);
  const double u = x - left, v = y - top;
  const auto* above = image.ptr<std::uint8_t>(top) + left;
  const auto* below = image.ptr<std::uint8_t>(top + 1) + left;
  return (1 - v) * ((1 - u) * above[0] + u * above[1]) + v * ((1 - u) * below[0] + u * below[1]);
}

// Noise of a pixel's difference: its median modulus over the window's rim, where the body is not.
double NoiseOf(const BodyPatch& patch) {
  std::vector<double> sizes;
  for (int y = 0; y < patch.seen.rows; ++y) {
    const bool rim_row = y < 6 || y >= patch.seen.rows - 6;
    for (int x = 0; x < patch.seen.cols; x += rim_row ? 1 : std::max(1, patch.seen.cols - 1)) {
      sizes.push_back(std::abs(patch.seen.at<std::uint8_t>(y, x) - patch.expected.at<std::uint8_t>(y, x)));
    }
  }
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return std::max(kLeastNoise, 1.4826 * *middle);
}

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

class Matcher {
 public:
  Matcher(const std::vector<BodyLook>& looks, const ProfileOptions& options) : looks_(looks) {
    double longest_streak_px = 0.0;
    for (const BodyLook& look : looks) {
      longest_streak_px = std::max(longest_streak_px, options.exposure_s * look.velocity_px_per_s.norm());
    }
    reach_ = std::clamp(static_cast<int>(std::ceil(0.5 * (options.body_length_px + longest_streak_px) + 9.0)),
                        kLeastReachPx,
                        kMostReachPx);
    half_ = static_cast<int>(std::ceil(options.half_width_px));
    strips_.resize(looks.size());
    along_.resize(looks.size());
    across_.resize(looks.size());
    const double middle_y_px = MiddleY(looks);
    for (std::size_t i = 0; i < looks.size(); ++i) {
      along_[i].scale = std::exp(options.growth * (looks[i].expected_px.y() - middle_y_px) / 1000.0);
      Cut(looks[i], options.exposure_s, &strips_[i], &along_[i]);
    }
  }

  static double MiddleY(const std::vector<BodyLook>& looks) {
    double low = 1e9, high = -1e9;
    for (const BodyLook& look : looks) {
      if (!look.patch) continue;
      low = std::min(low, look.expected_px.y());
      high = std::max(high, look.expected_px.y());
    }
    return low <= high ? 0.5 * (low + high) : 0.0;
  }

  // Mean misfit of the profiles along, in variances of a value: how well the exposure explains the streaks.
  double MisfitAlong() {
    if (!Match(&along_profile_, &along_, 2, true)) return 1e300;
    double misfit = 0.0, count = 1e-9;
    for (const ProfileSignal& signal : along_) {
      if (!signal.usable) continue;
      const Eigen::VectorXd residual = Residual(signal, along_profile_.Expected(signal, signal.shift_px));
      // Square roots, so that a few frames with something else in the window do not decide.
      misfit += residual.norm() / signal.noise;
      count += 1.0;
    }
    return misfit / count;
  }

  std::vector<std::optional<BodyFix>> Run() {
    std::vector<std::optional<BodyFix>> fixes(looks_.size());
    if (!Match(&along_profile_, &along_, kRounds, true)) return fixes;
    // Rockets fly nose first, and noses taper.
    along_extent_ = along_profile_.FindExtent(along_, {0.5, 0.25});
    for (std::size_t i = 0; i < looks_.size(); ++i) SumAcross(i);
    if (!Match(&across_profile_, &across_, kRounds, false)) return fixes;
    across_extent_ = across_profile_.FindExtent(across_, {0.35, 0.35});
    for (std::size_t i = 0; i < looks_.size(); ++i) {
      if (along_[i].usable && across_[i].usable) fixes[i] = Fix(i);
    }
    return fixes;
  }

 private:
  static bool Match(SharedProfile* profile, std::vector<ProfileSignal>* signals, int rounds, bool join) {
    if (!profile->Estimate(*signals)) return false;
    for (int round = 0; round < rounds; ++round) {
      for (ProfileSignal& signal : *signals) {
        const double most_px = 0.5 * static_cast<double>(signal.values.size()) - 2.0;
        const double search_px = std::min(round < 2 ? kFirstSearchPx : kLastSearchPx, most_px);
        if (signal.usable) signal.shift_px = profile->BestShift(signal, search_px);
      }
      if (join) JoinGroups(signals);
      if (!profile->Estimate(*signals)) return false;
    }
    return true;
  }

  void Cut(const BodyLook& look, double exposure_s, Strip* strip, ProfileSignal* along) const {
    const double speed = look.velocity_px_per_s.norm();
    if (!look.patch || !(speed > 0.0)) return;
    const BodyPatch& patch = *look.patch;
    strip->axis = look.velocity_px_per_s / speed;
    strip->noise = NoiseOf(patch);
    const Eigen::Vector2d normal(-strip->axis.y(), strip->axis.x());
    const Eigen::Vector2d corner_px(patch.top_left_px.x, patch.top_left_px.y);
    const int columns = 2 * reach_ + 1, rows = 2 * half_ + 1;
    strip->difference = Eigen::MatrixXd::Zero(rows, columns);
    strip->background = Eigen::VectorXd::Zero(columns);
    along->values = Eigen::VectorXd::Zero(columns);
    along->valid.assign(static_cast<std::size_t>(columns), 0);
    int inside = 0;
    for (int column = 0; column < columns; ++column) {
      const Eigen::Vector2d on_axis = look.expected_px + strip->axis * (column - reach_) - corner_px;
      if (!FillColumn(patch, on_axis, normal, column, strip)) continue;
      along->valid[static_cast<std::size_t>(column)] = 1;
      along->values[column] = strip->difference.col(column).sum();
      along->mean_background += strip->background[column];
      ++inside;
    }
    along->background = strip->background;
    along->mean_background /= std::max(1, inside);
    along->streak_px = exposure_s * speed;
    along->noise = kCorrelatedNoise * strip->noise * std::sqrt(static_cast<double>(rows));
    along->shift_px = look.first_along_px;
    along->usable = inside > reach_;
  }

  bool FillColumn(const BodyPatch& patch,
                  const Eigen::Vector2d& on_axis,
                  const Eigen::Vector2d& normal,
                  int column,
                  Strip* strip) const {
    const Eigen::Vector2d first = on_axis - normal * half_, last = on_axis + normal * half_;
    const Eigen::Vector2d low = first.cwiseMin(last), high = first.cwiseMax(last);
    if (low.minCoeff() < 0.0 || high.x() >= patch.seen.cols - 1.001 || high.y() >= patch.seen.rows - 1.001)
      return false;
    double background = 0.0;
    for (int row = 0; row <= 2 * half_; ++row) {
      const Eigen::Vector2d at = first + normal * row;
      const double expected = Bilinear(patch.expected, at.x(), at.y());
      strip->difference(row, column) = Bilinear(patch.seen, at.x(), at.y()) - expected;
      if (std::abs(row - half_) <= 1) background += expected / 3.0;
    }
    strip->background[column] = background;
    return true;
  }

  // Sums of the body's middle part for each row across.
  void SumAcross(std::size_t i) {
    const ProfileSignal& along = along_[i];
    ProfileSignal& across = across_[i];
    if (!along.usable) return;
    const double middle = reach_ + along.shift_px + along.scale * along_extent_.middle_px;
    const double part_px =
        std::max(1.5, kMiddlePartShare * along.scale * along_extent_.length_px + 0.5 * along.streak_px);
    const int rows = 2 * half_ + 1;
    across.values = Eigen::VectorXd::Zero(rows);
    across.background = Eigen::VectorXd::Zero(rows);
    int columns = 0;
    for (int column = 0; column <= 2 * reach_; ++column) {
      if (std::abs(column - middle) > part_px || along.valid[static_cast<std::size_t>(column)] == 0) continue;
      across.values += strips_[i].difference.col(column);
      across.background.array() += strips_[i].background[column];
      ++columns;
    }
    if (columns < 2) return;
    across.values /= columns;
    across.background /= columns;
    across.scale = along.scale;
    across.mean_background = across.background[0];
    across.valid.assign(static_cast<std::size_t>(rows), 1);
    across.noise = kCorrelatedNoise * strips_[i].noise / std::sqrt(static_cast<double>(columns));
    across.usable = true;
  }

  // Standard deviation of a shift: what the residuals leave, over the slope of the expected signal.
  static double Variance(const SharedProfile& profile, const ProfileSignal& signal, const Eigen::VectorXd& residual) {
    constexpr double kStepPx = 0.25;
    const Eigen::VectorXd slope =
        (profile.Expected(signal, signal.shift_px + kStepPx) - profile.Expected(signal, signal.shift_px - kStepPx)) /
        (2.0 * kStepPx);
    const double noise2 =
        std::max(signal.noise * signal.noise, residual.squaredNorm() / static_cast<double>(residual.size()));
    return noise2 / std::max(1e-9, slope.squaredNorm());
  }

  static Eigen::VectorXd Residual(const ProfileSignal& signal, const Eigen::VectorXd& expected) {
    Eigen::VectorXd residual = signal.values - expected;
    for (Eigen::Index column = 0; column < residual.size(); ++column) {
      if (signal.valid[static_cast<std::size_t>(column)] == 0) residual[column] = 0.0;
    }
    return residual;
  }

  std::optional<BodyFix> Fix(std::size_t i) const {
    const ProfileSignal &along = along_[i], &across = across_[i];
    const Eigen::VectorXd expected = along_profile_.Expected(along, along.shift_px);
    const Eigen::VectorXd residual = Residual(along, expected);
    const double total = along.values.squaredNorm();
    if (!(total > 0.0) || !(expected.squaredNorm() > 0.0)) return std::nullopt;
    BodyFix fix;
    const double columns = static_cast<double>(expected.size());
    fix.strength = expected.norm() / std::max(along.noise, std::sqrt(residual.squaredNorm() / columns));
    fix.explained = std::clamp(1.0 - residual.squaredNorm() / total, 0.0, 1.0);
    fix.along_px = along.shift_px + along.scale * along_extent_.middle_px;
    fix.across_px = across.shift_px + across.scale * across_extent_.middle_px;
    fix.length_px = along.scale * along_extent_.length_px + along.streak_px;
    const Eigen::Vector2d& axis = strips_[i].axis;
    const Eigen::Vector2d normal(-axis.y(), axis.x());
    fix.at_px = looks_[i].expected_px + axis * fix.along_px + normal * fix.across_px;
    fix.axis_rad = std::atan2(axis.y(), axis.x());
    const Eigen::VectorXd residual_across = Residual(across, across_profile_.Expected(across, across.shift_px));
    const double var_along = Variance(along_profile_, along, residual) + kFloorAlongPx * kFloorAlongPx;
    const double var_across = Variance(across_profile_, across, residual_across) + kFloorAcrossPx * kFloorAcrossPx;
    fix.cov_px2 = var_along * axis * axis.transpose() + var_across * normal * normal.transpose();
    return fix;
  }

  const std::vector<BodyLook>& looks_;
  int reach_ = 0, half_ = 0;
  std::vector<Strip> strips_;
  std::vector<ProfileSignal> along_, across_;
  SharedProfile along_profile_, across_profile_;
  SharedProfile::Extent along_extent_, across_extent_;
};

}  // namespace

ProfileOptions BestOptions(const std::vector<BodyLook>& looks, const ProfileOptions& options) {
  constexpr std::size_t kMostLooks = 30;
  std::vector<BodyLook> some;
  for (std::size_t i = 0; i < std::min(kMostLooks, looks.size()); ++i) {
    some.push_back(looks[i * looks.size() / std::min(kMostLooks, looks.size())]);
  }
  const auto misfit = [&some](const ProfileOptions& tried) { return Matcher(some, tried).MisfitAlong(); };
  ProfileOptions best = options;
  double least = 1e300;
  for (const double share : {0.0, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 0.95}) {
    ProfileOptions tried = options;
    tried.exposure_s = share * options.exposure_s;
    const double size = misfit(tried);
    if (size < least) least = size, best = tried;
  }
  constexpr double kStep = 0.15;
  std::vector<double> sizes;
  for (int i = -2; i <= 5; ++i) {
    ProfileOptions tried = best;
    tried.growth = kStep * i;
    sizes.push_back(misfit(tried));
  }
  const auto at = std::min_element(sizes.begin(), sizes.end()) - sizes.begin();
  double step = 0.0;
  if (at > 0 && at + 1 < static_cast<std::ptrdiff_t>(sizes.size())) {
    const auto i = static_cast<std::size_t>(at);
    const double bend = sizes[i - 1] - 2.0 * sizes[i] + sizes[i + 1];
    if (bend > 0.0) step = std::clamp(0.5 * (sizes[i - 1] - sizes[i + 1]) / bend, -0.5, 0.5);
  }
  best.growth = kStep * (static_cast<double>(at) - 2.0 + step);
  return best;
}

std::vector<std::optional<BodyFix>> MeasureTogether(const std::vector<BodyLook>& looks, const ProfileOptions& options) {
  if (looks.size() < 5) return std::vector<std::optional<BodyFix>>(looks.size());
  return Matcher(looks, options).Run();
}

}  // namespace loftline
