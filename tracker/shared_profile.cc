// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/shared_profile.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>
#include <opencv2/core/utility.hpp>

namespace loftline {
namespace {

constexpr std::size_t kMostForProfile = 90;  // frames that the profile is estimated from, evenly chosen
constexpr double kWidthUnit = 40.0;          // makes w comparable with G in the smoothing
constexpr double kSmoothing = 0.02;          // of the profiles, beside a frame's weight
constexpr double kClipSigmas = 4.0;
constexpr std::size_t kFewFrames = 3;

constexpr double kNoStreakPx = 0.05;  // a shorter one is none

double Median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::vector<const ProfileSignal*> Chosen(const std::vector<ProfileSignal>& signals) {
  std::vector<const ProfileSignal*> usable, chosen;
  for (const ProfileSignal& signal : signals) {
    if (signal.usable && signal.learn) usable.push_back(&signal);
  }
  const std::size_t count = std::min(kMostForProfile, usable.size());
  for (std::size_t i = 0; i < count; ++i) chosen.push_back(usable[i * usable.size() / count]);
  return chosen;
}

// Where a column lies in the profile.
double PlaceOf(const ProfileSignal& signal, double shift_px, Eigen::Index column, int reach) {
  return (static_cast<double>(column) - reach - shift_px) / signal.scale;
}

// The body must stay within the values.
double FarthestShift(const ProfileSignal& signal) {
  return 0.5 * static_cast<double>(signal.values.size()) - 2.0;
}

// The hat function of a bin, 1 at 0 and 0 from -1 and 1 on, integrated from -infinity.
double HatIntegral(double x) {
  if (x <= -1.0) return 0.0;
  if (x >= 1.0) return 1.0;
  return x < 0.0 ? 0.5 * (1.0 + x) * (1.0 + x) : 1.0 - 0.5 * (1.0 - x) * (1.0 - x);
}

// Weights of the profile's bins (1 px apart, bin REACH at place 0) at PLACE: the mean over a streak.
struct BinWeights {
  int first = 0;
  std::vector<double> weights;
};
void WeighBins(double place, double streak_px, int reach, BinWeights* row) {
  const double low = place + reach - 0.5 * streak_px, high = place + reach + 0.5 * streak_px;
  row->weights.clear();
  row->first = std::max(0, static_cast<int>(std::floor(low)));
  const int last = std::min(2 * reach, static_cast<int>(std::floor(high)) + 1);
  for (int bin = row->first; bin <= last; ++bin) {
    const double weight = streak_px < kNoStreakPx ? std::max(0.0, 1.0 - std::abs(place + reach - bin))
                                                  : (HatIntegral(high - bin) - HatIntegral(low - bin)) / streak_px;
    row->weights.push_back(weight);
  }
}

// One value's row: SCALE times the weights for the brightness, and -CONTRAST times that for the width. Fills the lower
// triangle only.
void AddRow(const BinWeights& row,
            double scale,
            double contrast,
            double trust,
            double value,
            Eigen::MatrixXd* normal,
            Eigen::VectorXd* right) {
  const int bins = static_cast<int>(right->size()) / 2;
  const int count = static_cast<int>(row.weights.size());
  for (int a = 0; a < count; ++a) {
    const int i = row.first + a;
    const double weight = scale * row.weights[static_cast<std::size_t>(a)];
    (*right)[i] += trust * weight * value;
    (*right)[bins + i] -= trust * contrast * weight * value;
    for (int b = 0; b < count; ++b) {
      const int j = row.first + b;
      const double product = trust * weight * scale * row.weights[static_cast<std::size_t>(b)];
      (*normal)(bins + j, i) -= contrast * product;
      if (b < a) continue;
      (*normal)(j, i) += product;
      (*normal)(bins + j, bins + i) += contrast * contrast * product;
    }
  }
}

void AddSmoothing(Eigen::MatrixXd* normal, int bins, double weight) {
  const double strength = kSmoothing * weight;
  constexpr double kSecond[] = {1.0, -2.0, 1.0};
  for (const int first : {0, bins}) {
    for (int i = 0; i + 2 < bins; ++i) {
      for (int a = 0; a < 3; ++a) {
        for (int b = 0; b < 3; ++b) (*normal)(first + i + a, first + i + b) += strength * kSecond[a] * kSecond[b];
      }
    }
    // Where the background is the same on all frames, the width cannot be told and stays small.
    for (int i = 0; i < bins; ++i) (*normal)(first + i, first + i) += (first == 0 ? 0.01 : 0.1) * strength;
  }
}

}  // namespace

bool SharedProfile::Estimate(const std::vector<ProfileSignal>& signals) {
  const std::vector<const ProfileSignal*> chosen = Chosen(signals);
  if (chosen.size() < 5) return false;
  const int bins = static_cast<int>(chosen.front()->values.size());
  const bool again = brightness_.size() == bins;
  reach_ = bins / 2;
  std::vector<double> levels;
  levels.reserve(chosen.size());
  for (const ProfileSignal* signal : chosen) levels.push_back(signal->mean_background);
  if (!again) mean_background_ = Median(levels);

  Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(2 * bins, 2 * bins);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(2 * bins);
  BinWeights row;
  double total_weight = 0.0;
  for (const ProfileSignal* signal : chosen) {
    const double weight = 1.0 / (signal->noise * signal->noise);
    total_weight += weight;
    const Eigen::VectorXd known = again ? Expected(*signal, signal->shift_px) : Eigen::VectorXd();
    for (Eigen::Index column = 0; column < signal->values.size(); ++column) {
      if (signal->valid[static_cast<std::size_t>(column)] == 0) continue;
      // A leg, a leaf or the launcher in the window is no part of the body.
      double trust = weight;
      if (again) {
        const double sigmas = std::abs(signal->values[column] - known[column]) / signal->noise;
        if (sigmas > kClipSigmas) trust *= kClipSigmas / sigmas;
      }
      const double contrast = (signal->background[column] - mean_background_) / kWidthUnit;
      WeighBins(PlaceOf(*signal, signal->shift_px, column, reach_), signal->streak_px / signal->scale, reach_, &row);
      AddRow(row, signal->scale, contrast, trust, signal->values[column], &normal, &right);
    }
  }
  AddSmoothing(&normal, bins, total_weight);
  const Eigen::VectorXd solved = normal.selfadjointView<Eigen::Lower>().ldlt().solve(right);
  if (!solved.allFinite()) return false;
  brightness_ = solved.head(bins);
  width_ = solved.tail(bins);
  if (even_) {
    brightness_ = 0.5 * (brightness_ + brightness_.reverse()).eval();
    width_ = 0.5 * (width_ + width_.reverse()).eval();
  }
  brightness_along_ = Piecewise(brightness_);
  width_along_ = Piecewise(width_);
  return true;
}

double SharedProfile::ExpectedAt(const ProfileSignal& signal, double shift_px, Eigen::Index column) const {
  const double contrast = (signal.background[column] - mean_background_) / kWidthUnit;
  const double place = PlaceOf(signal, shift_px, column, reach_) + reach_;
  const double streak_px = signal.streak_px / signal.scale;
  if (streak_px < kNoStreakPx) {
    return signal.scale * (brightness_along_.At(place) - contrast * width_along_.At(place));
  }
  return signal.scale * (brightness_along_.Mean(place, streak_px) - contrast * width_along_.Mean(place, streak_px));
}

Eigen::VectorXd SharedProfile::Expected(const ProfileSignal& signal, double shift_px) const {
  Eigen::VectorXd expected(signal.values.size());
  for (Eigen::Index column = 0; column < expected.size(); ++column) {
    expected[column] = ExpectedAt(signal, shift_px, column);
  }
  return expected;
}

double SharedProfile::SlopeAt(const ProfileSignal& signal, double shift_px, Eigen::Index column) const {
  const double contrast = (signal.background[column] - mean_background_) / kWidthUnit;
  const double place = PlaceOf(signal, shift_px, column, reach_) + reach_;
  // Of the mean over the streak; of the straight piece, over a pixel about it.
  const double width_px = std::max(1.0, signal.streak_px / signal.scale);
  const double after =
      brightness_along_.At(place + 0.5 * width_px) - contrast * width_along_.At(place + 0.5 * width_px);
  const double before =
      brightness_along_.At(place - 0.5 * width_px) - contrast * width_along_.At(place - 0.5 * width_px);
  return -(after - before) / width_px;
}

double SharedProfile::Misfit(const ProfileSignal& signal, double shift_px, int every) const {
  const double most = std::pow(kClipSigmas * signal.noise, 2);
  double misfit = 0.0;
  for (Eigen::Index column = 0; column < signal.values.size(); column += every) {
    if (signal.valid[static_cast<std::size_t>(column)] == 0) continue;
    const double residual = signal.values[column] - ExpectedAt(signal, shift_px, column);
    const double square = residual * residual;
    misfit += square < most ? square : 2.0 * std::sqrt(square * most) - most;
  }
  return misfit;
}

// How the misfit changes with the shift: one step of Gauss and Newton, far-off values counting less.
double SharedProfile::StepToMinimum(const ProfileSignal& signal, double shift_px) const {
  const double bound = kClipSigmas * signal.noise;
  double slope_residual = 1e-12, slope2 = 1e-9;
  for (Eigen::Index column = 0; column < signal.values.size(); ++column) {
    if (signal.valid[static_cast<std::size_t>(column)] == 0) continue;
    const double residual = signal.values[column] - ExpectedAt(signal, shift_px, column);
    const double slope = SlopeAt(signal, shift_px, column);
    const double trust = std::min(1.0, bound / std::max(1e-9, std::abs(residual)));
    slope_residual += trust * slope * residual;
    slope2 += trust * slope * slope;
  }
  return slope_residual / slope2;
}

double SharedProfile::BestShift(const ProfileSignal& signal, double search_px, double about_px) const {
  constexpr Eigen::Index kManyValues = 30;
  constexpr int kFineSteps = 3;
  constexpr double kFarthestPx = 1.0;  // from the best whole pixel
  constexpr double kSettledPx = 0.005;
  const int every = signal.values.size() > kManyValues ? 2 : 1;  // half of many tell whole pixels apart
  double best_px = about_px, best = 1e300;
  const int shifts = static_cast<int>(std::floor(2.0 * search_px)) + 1;
  for (int i = 0; i < shifts; ++i) {
    const double shift = about_px + i - search_px;
    const double misfit = Misfit(signal, shift, every);
    if (misfit < best) best = misfit, best_px = shift;
  }
  const double whole_px = best_px;
  for (int i = 0; i < kFineSteps; ++i) {
    const double step_px = StepToMinimum(signal, best_px);
    best_px = std::clamp(best_px + step_px, whole_px - kFarthestPx, whole_px + kFarthestPx);
    if (std::abs(step_px) < kSettledPx) break;
  }
  return best_px;
}

void SharedProfile::Shift(std::vector<ProfileSignal>* signals, double search_px) const {
  cv::parallel_for_(cv::Range(0, static_cast<int>(signals->size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      ProfileSignal& signal = (*signals)[static_cast<std::size_t>(i)];
      if (signal.usable) signal.shift_px = BestShift(signal, std::min(search_px, FarthestShift(signal)));
    }
  });
}

void SharedProfile::ShiftNear(std::vector<ProfileSignal>* signals, double near_px) const {
  cv::parallel_for_(cv::Range(0, static_cast<int>(signals->size())), [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      ProfileSignal& signal = (*signals)[static_cast<std::size_t>(i)];
      if (!signal.usable) continue;
      const double most_px = FarthestShift(signal) - near_px;
      signal.shift_px = BestShift(signal, near_px, std::clamp(signal.shift_px, -most_px, most_px));
    }
  });
}

bool SharedProfile::Match(std::vector<ProfileSignal>* signals, int rounds, double search_px) {
  if (!Estimate(*signals)) return false;
  for (int round = 0; round < rounds; ++round) {
    Shift(signals, search_px);
    if (!Estimate(*signals)) return false;
  }
  return true;
}

Eigen::VectorXd SharedProfile::ResidualOf(const ProfileSignal& signal) const {
  Eigen::VectorXd residual = signal.values - Expected(signal, signal.shift_px);
  for (Eigen::Index column = 0; column < residual.size(); ++column) {
    if (signal.valid[static_cast<std::size_t>(column)] == 0) residual[column] = 0.0;
  }
  return residual;
}

double SharedProfile::VarianceOfShift(const ProfileSignal& signal) const {
  constexpr double kStepPx = 0.25;
  const Eigen::VectorXd slope =
      (Expected(signal, signal.shift_px + kStepPx) - Expected(signal, signal.shift_px - kStepPx)) / (2.0 * kStepPx);
  const Eigen::VectorXd residual = ResidualOf(signal);
  const double noise2 =
      std::max(signal.noise * signal.noise, residual.squaredNorm() / static_cast<double>(residual.size()));
  return noise2 / std::max(1e-9, slope.squaredNorm());
}

double SharedProfile::SignalAt(double background) const {
  return brightness_.sum() - (background - mean_background_) / kWidthUnit * width_.sum();
}

std::vector<double> SharedProfile::Contrast(const std::vector<ProfileSignal>& signals) const {
  std::vector<double> contrast;
  const std::vector<const ProfileSignal*> chosen = Chosen(signals);
  for (Eigen::Index bin = 0; bin < brightness_.size(); ++bin) {
    std::vector<double> sizes;
    sizes.reserve(chosen.size());
    for (const ProfileSignal* signal : chosen) sizes.push_back(ContrastAt(bin, signal->mean_background));
    const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() * 4 / 5);
    std::nth_element(sizes.begin(), at, sizes.end());
    contrast.push_back(*at);
  }
  return contrast;
}

double SharedProfile::ContrastAt(Eigen::Index bin, double background) const {
  return std::abs(brightness_[bin] - (background - mean_background_) / kWidthUnit * width_[bin]);
}

// Places that stand out before the darkest or the brightest of the backgrounds, however short the rocket was there.
std::vector<char> SharedProfile::SeenAnywhere(const std::vector<ProfileSignal>& signals) const {
  const std::vector<const ProfileSignal*> chosen = Chosen(signals);
  std::vector<double> levels;
  levels.reserve(chosen.size());
  for (const ProfileSignal* signal : chosen) levels.push_back(signal->mean_background);
  std::sort(levels.begin(), levels.end());
  const std::size_t few = std::min(kFewFrames, levels.size());
  std::vector<char> seen(static_cast<std::size_t>(brightness_.size()), 0);
  for (const double level : {levels[few - 1], levels[levels.size() - few]}) {
    std::vector<double> contrast;
    for (Eigen::Index bin = 0; bin < brightness_.size(); ++bin) contrast.push_back(ContrastAt(bin, level));
    const double least =
        std::max(LeastContrast(contrast), kFaintShare * *std::max_element(contrast.begin(), contrast.end()));
    for (std::size_t i = 0; i < seen.size(); ++i) seen[i] |= contrast[i] > least ? 1 : 0;
  }
  return seen;
}

BodyExtent SharedProfile::FindExtent(const std::vector<ProfileSignal>& signals) const {
  BodyExtent extent = FindBodyExtent(Contrast(signals), SeenAnywhere(signals));
  extent.middle_px -= reach_;
  return extent;
}

}  // namespace loftline
