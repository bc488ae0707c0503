// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/shared_profile.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr std::size_t kMostForProfile = 90;  // frames that the profile is estimated from, evenly chosen
constexpr double kWidthUnit = 40.0;          // makes w comparable with G in the smoothing
constexpr double kSmoothing = 0.02;          // of the profiles, beside a frame's weight
constexpr double kClipSigmas = 4.0;
constexpr double kFaintShare = 0.08;      // of the greatest contrast: fainter is no body
constexpr std::ptrdiff_t kWidestGap = 2;  // between parts of one body

constexpr double kTailShare = 0.5;
constexpr double kOuterShare = 0.2, kInnerShare = 0.6;  // of the strongest place in the body's front part
constexpr std::ptrdiff_t kEndPart = 3;
constexpr double kBeyondOuter = 0.6;

// Where a nose ends, from the places where it has faded to two shares. Noses taper, so that the last of it is too
// narrow to be seen: a cone that is long beside the picture's blur ends half that distance beyond the outer place.
double TipBeyond(double outer_px, double inner_px) {
  return outer_px + kBeyondOuter * (outer_px - inner_px);
}

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

// Weights of the profile's bins (1 px apart, bin REACH at place 0) at PLACE: a box as long as the streak.
template <typename Use>
void ForBins(double place, double streak_px, int reach, const Use& use) {
  const int samples = 1 + static_cast<int>(std::ceil(streak_px));
  for (int i = 0; i < samples; ++i) {
    const double along = samples == 1 ? 0.0 : streak_px * (static_cast<double>(i) / (samples - 1) - 0.5);
    const double at = place + along + reach;
    const int bin = static_cast<int>(std::floor(at));
    const double share = at - bin;
    if (bin >= 0 && bin <= 2 * reach) use(bin, (1.0 - share) / samples);
    if (bin + 1 >= 0 && bin + 1 <= 2 * reach) use(bin + 1, share / samples);
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
  for (const ProfileSignal* signal : chosen) levels.push_back(signal->mean_background);
  if (!again) mean_background_ = Median(levels);

  Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(2 * bins, 2 * bins);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(2 * bins);
  std::vector<std::pair<int, double>> row;
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
      row.clear();
      ForBins(PlaceOf(*signal, signal->shift_px, column, reach_),
              signal->streak_px / signal->scale,
              reach_,
              [&](int bin, double w) {
                row.emplace_back(bin, signal->scale * w);
                row.emplace_back(bins + bin, -signal->scale * contrast * w);
              });
      for (const auto& [i, a] : row) {
        right[i] += trust * a * signal->values[column];
        for (const auto& [j, b] : row) normal(i, j) += trust * a * b;
      }
    }
  }
  AddSmoothing(&normal, bins, total_weight);
  const Eigen::VectorXd solved = normal.ldlt().solve(right);
  if (!solved.allFinite()) return false;
  brightness_ = solved.head(bins);
  width_ = solved.tail(bins);
  if (even_) {
    brightness_ = 0.5 * (brightness_ + brightness_.reverse()).eval();
    width_ = 0.5 * (width_ + width_.reverse()).eval();
  }
  return true;
}

Eigen::VectorXd SharedProfile::Expected(const ProfileSignal& signal, double shift_px) const {
  Eigen::VectorXd expected = Eigen::VectorXd::Zero(signal.values.size());
  for (Eigen::Index column = 0; column < expected.size(); ++column) {
    const double contrast = (signal.background[column] - mean_background_) / kWidthUnit;
    double value = 0.0;
    ForBins(
        PlaceOf(signal, shift_px, column, reach_),
        signal.streak_px / signal.scale,
        reach_,
        [&](int bin, double weight) { value += signal.scale * weight * (brightness_[bin] - contrast * width_[bin]); });
    expected[column] = value;
  }
  return expected;
}

double SharedProfile::Misfit(const ProfileSignal& signal, double shift_px) const {
  const Eigen::VectorXd expected = Expected(signal, shift_px);
  const double most = std::pow(kClipSigmas * signal.noise, 2);
  double misfit = 0.0;
  for (Eigen::Index column = 0; column < expected.size(); ++column) {
    if (signal.valid[static_cast<std::size_t>(column)] == 0) continue;
    const double residual = signal.values[column] - expected[column];
    const double square = residual * residual;
    misfit += square < most ? square : 2.0 * std::sqrt(square * most) - most;
  }
  return misfit;
}

double SharedProfile::BestShift(const ProfileSignal& signal, double search_px) const {
  double best_px = 0.0, best = 1e300;
  for (double shift = -search_px; shift <= search_px; shift += 1.0) {
    const double misfit = Misfit(signal, shift);
    if (misfit < best) best = misfit, best_px = shift;
  }
  for (const double step : {0.5, 0.2, 0.1}) {
    const double before = Misfit(signal, best_px - step), after = Misfit(signal, best_px + step);
    const double bend = before - 2.0 * Misfit(signal, best_px) + after;
    if (bend > 0.0) best_px += std::clamp(0.5 * (before - after) / bend, -1.0, 1.0) * step;
  }
  return best_px;
}

void SharedProfile::Shift(std::vector<ProfileSignal>* signals, double search_px) const {
  for (ProfileSignal& signal : *signals) {
    const double most_px = 0.5 * static_cast<double>(signal.values.size()) - 2.0;
    if (signal.usable) signal.shift_px = BestShift(signal, std::min(search_px, most_px));
  }
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

std::vector<double> SharedProfile::Contrast(const std::vector<ProfileSignal>& signals) const {
  std::vector<double> contrast;
  const std::vector<const ProfileSignal*> chosen = Chosen(signals);
  for (Eigen::Index bin = 0; bin < brightness_.size(); ++bin) {
    std::vector<double> sizes;
    for (const ProfileSignal* signal : chosen) {
      const double level = (signal->mean_background - mean_background_) / kWidthUnit;
      sizes.push_back(std::abs(brightness_[bin] - level * width_[bin]));
    }
    const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() * 4 / 5);
    std::nth_element(sizes.begin(), at, sizes.end());
    contrast.push_back(*at);
  }
  return contrast;
}

SharedProfile::Extent SharedProfile::FindExtent(const std::vector<ProfileSignal>& signals) const {
  const std::vector<double> contrast = Contrast(signals);
  const auto count = static_cast<std::ptrdiff_t>(contrast.size());
  const auto peak = std::max_element(contrast.begin(), contrast.end()) - contrast.begin();
  // From a strong place outwards, over small gaps, to a fraction of a pixel: by the fall from the last place above the
  // level to the first below it.
  const auto edge = [&](std::ptrdiff_t start, std::ptrdiff_t step, double level) {
    std::ptrdiff_t last = start;
    for (std::ptrdiff_t i = start; i >= 0 && i < count && std::abs(i - last) <= kWidestGap; i += step) {
      if (contrast[static_cast<std::size_t>(i)] > level) last = i;
    }
    return last;
  };
  const auto crossing = [&](std::ptrdiff_t start, std::ptrdiff_t step, double level) {
    const std::ptrdiff_t inside = edge(start, step, level), outside = inside + step;
    if (outside < 0 || outside >= count) return static_cast<double>(inside);
    const double in = contrast[static_cast<std::size_t>(inside)], out = contrast[static_cast<std::size_t>(outside)];
    return static_cast<double>(inside) +
           static_cast<double>(step) * std::clamp((in - level) / std::max(1e-9, in - out), 0.0, 1.0);
  };
  const double strongest = contrast[static_cast<std::size_t>(peak)];
  const std::ptrdiff_t from = edge(peak, -1, kFaintShare * strongest), to = edge(peak, 1, kFaintShare * strongest);
  // What the outermost quarters show is noise.
  std::vector<double> rim(contrast.begin(), contrast.begin() + count / 8 + 1);
  rim.insert(rim.end(), contrast.end() - count / 8 - 1, contrast.end());
  const double least = 2.5 * Median(std::move(rim));
  // Each end by what the body shows next to it: fins are far stronger than a nose.
  const std::ptrdiff_t near = std::max<std::ptrdiff_t>(2, (to - from) / 5);
  const double at_first = Median({contrast.begin() + from, contrast.begin() + std::min(to + 1, from + near + 1)});
  // From within the end's own third: the body between may be fainter than both ends.
  const std::ptrdiff_t part = std::max<std::ptrdiff_t>(3, (to - from) / kEndPart);
  const auto fins = std::max_element(contrast.begin() + from, contrast.begin() + std::min(to, from + part) + 1);
  const double low = crossing(fins - contrast.begin(), -1, std::max(least, kTailShare * at_first));
  const auto shoulder = std::max_element(contrast.begin() + std::max(from, to - part), contrast.begin() + to + 1);
  const std::ptrdiff_t start = shoulder - contrast.begin();
  const double high = TipBeyond(crossing(start, 1, std::max(least, kOuterShare * *shoulder)),
                                crossing(start, 1, std::max(least, kInnerShare * *shoulder)));
  return {0.5 * (low + high) - reach_, std::max(1.0, high - low)};
}

}  // namespace loftline
