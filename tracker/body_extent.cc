// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_extent.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace loftline {
namespace {

constexpr std::ptrdiff_t kWidestGap = 2;  // between parts of one body
constexpr double kRimNoises = 2.5, kStdOverMedian = 1.4826;
constexpr double kLostStdPx = 2.0;      // of an end that the noise hides
constexpr std::ptrdiff_t kEndPart = 3;  // of the body: an end is judged by its own third
constexpr double kStillRising = 0.5;    // of the steepest rise
constexpr double kLowStep = 0.25;       // of the highest place
constexpr double kDip = 0.9;            // of a step

// Shares of what the fins show: blur spreads an edge to both sides alike, so that it ends at half. Fins that are swept,
// or of two colours, end somewhere between the other two.
constexpr double kTailShare = 0.5, kTailOuterShare = 0.3, kTailInnerShare = 0.7;
// Shares of what the nose's shoulder shows. A cone that is long beside the picture's blur ends half the distance
// between the two places beyond the outer one, a paraboloid an eighth of it, and a blunt nose before it.
constexpr double kTipOuterShare = 0.2, kTipInnerShare = 0.6;
constexpr double kBeyondOuter = 0.3, kBeyondOuterStd = 0.2;
const double kEvenStd = 1.0 / std::sqrt(12.0);  // of what lies anywhere between two places, over their distance

double Median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct Crossing {
  double place = 0.0, std_px = 0.0;  // by noise
};

class Contrasts {
 public:
  Contrasts(const std::vector<double>& contrast, const std::vector<char>& seen_anywhere)
      : contrast_(contrast), seen_anywhere_(seen_anywhere), count_(static_cast<std::ptrdiff_t>(contrast.size())) {}

  double At(std::ptrdiff_t place) const { return contrast_[static_cast<std::size_t>(place)]; }
  std::ptrdiff_t HighestIn(std::ptrdiff_t from, std::ptrdiff_t to) const {
    return std::max_element(contrast_.begin() + from, contrast_.begin() + to + 1) - contrast_.begin();
  }
  std::ptrdiff_t Highest() const { return HighestIn(0, count_ - 1); }

  // The top of the tail's step, from FROM inwards, at TO at the latest: where the rise has become half as steep as it
  // was. Dark fins on a bright body are a step of their own, and the tail is theirs; a low ripple before the body,
  // which an undone streak leaves, is none.
  std::ptrdiff_t TopOfTail(std::ptrdiff_t from, std::ptrdiff_t to) const {
    const double low = kLowStep * At(Highest());
    std::ptrdiff_t top = TopOfStep(from, to);
    while (At(top) < low && top + 2 <= to && std::min(At(top + 1), At(top + 2)) < kDip * At(top)) {
      top = TopOfStep(At(top + 1) < At(top + 2) ? top + 1 : top + 2, to);
    }
    return top;
  }

  // From a strong place outwards, over small gaps: the last place above the level.
  std::ptrdiff_t LastAbove(double level, std::ptrdiff_t start, std::ptrdiff_t step) const {
    std::ptrdiff_t last = start, joined = start;
    for (std::ptrdiff_t i = start; i >= 0 && i < count_ && std::abs(i - joined) <= kWidestGap; i += step) {
      if (At(i) > level) last = i;
      if (At(i) > level || seen_anywhere_[static_cast<std::size_t>(i)] != 0) joined = i;
    }
    return last;
  }

  // The same to a fraction of a pixel, by the fall to the first place below; NOISE moves it by itself over that fall.
  Crossing CrossingOf(double level, std::ptrdiff_t start, std::ptrdiff_t step, double noise) const {
    const std::ptrdiff_t inside = LastAbove(level, start, step), outside = inside + step;
    if (outside < 0 || outside >= count_) return {static_cast<double>(inside), kLostStdPx};
    const double fall = At(inside) - At(outside);
    const double share = std::clamp((At(inside) - level) / std::max(1e-9, fall), 0.0, 1.0);
    return {static_cast<double>(inside) + static_cast<double>(step) * share,
            std::min(kLostStdPx, noise / std::max(1e-9, fall))};
  }

 private:
  std::ptrdiff_t TopOfStep(std::ptrdiff_t from, std::ptrdiff_t to) const {
    double steepest = At(from) - (from > 0 ? At(from - 1) : 0.0);
    std::ptrdiff_t top = from;
    for (; top < to; ++top) {
      const double rise = At(top + 1) - At(top);
      if (rise < kStillRising * steepest) break;
      steepest = std::max(steepest, rise);
    }
    return top;
  }

  const std::vector<double>& contrast_;
  const std::vector<char>& seen_anywhere_;
  std::ptrdiff_t count_;
};

}  // namespace

double LeastContrast(const std::vector<double>& contrast) {
  const auto part = static_cast<std::ptrdiff_t>(contrast.size()) / 8 + 1;
  std::vector<double> rim(contrast.begin(), contrast.begin() + part);
  rim.insert(rim.end(), contrast.end() - part, contrast.end());
  return kRimNoises * Median(std::move(rim));
}

BodyExtent FindBodyExtent(const std::vector<double>& contrast, const std::vector<char>& seen_anywhere) {
  const Contrasts places(contrast, seen_anywhere);
  const double least = LeastContrast(contrast);
  const std::ptrdiff_t peak = places.Highest();
  const double faint = kFaintShare * places.At(peak);
  const std::ptrdiff_t from = places.LastAbove(faint, peak, -1), to = places.LastAbove(faint, peak, 1);
  // Each end by what its own part shows: fins are far stronger than a nose, and the body between may be fainter than
  // both.
  const std::ptrdiff_t part = std::max<std::ptrdiff_t>(3, (to - from) / kEndPart);
  const double noise = kStdOverMedian * least / kRimNoises;
  const auto crossing = [&](double share, std::ptrdiff_t start, std::ptrdiff_t step) {
    return places.CrossingOf(std::max(least, share * places.At(start)), start, step, noise);
  };
  const std::ptrdiff_t fins = places.TopOfTail(from, std::min(to, from + part));
  const Crossing tail = crossing(kTailShare, fins, -1);
  const double step_px = crossing(kTailInnerShare, fins, -1).place - crossing(kTailOuterShare, fins, -1).place;
  const std::ptrdiff_t shoulder = places.HighestIn(std::max(from, to - part), to);
  const Crossing outer = crossing(kTipOuterShare, shoulder, 1), inner = crossing(kTipInnerShare, shoulder, 1);
  const double fall_px = outer.place - inner.place;
  const double tip = outer.place + kBeyondOuter * fall_px;
  const double tail_std_px = std::hypot(kEvenStd * step_px, tail.std_px);
  const double tip_std_px =
      std::hypot(kBeyondOuterStd * fall_px, (1.0 + kBeyondOuter) * outer.std_px, kBeyondOuter * inner.std_px);
  return {0.5 * (tail.place + tip), std::max(1.0, tip - tail.place), 0.5 * std::hypot(tail_std_px, tip_std_px)};
}

}  // namespace loftline
