// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/scatter.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace loftline {
namespace {

constexpr int kApartFrames = 4;
constexpr std::size_t kFewest = 12;
constexpr double kClipSizes = 3.0;
constexpr double kMeanSquareClipped = 0.995;  // of a standard normal value that is cut off at 3
constexpr double kLeast = 0.1, kMost = 6.0;

}  // namespace

double ScatterScale(const std::vector<ScatterLook>& looks) {
  std::vector<double> squares;
  const auto with_frame = [&looks](int frame) {
    const auto at = std::lower_bound(
        looks.begin(), looks.end(), frame, [](const ScatterLook& look, int wanted) { return look.frame < wanted; });
    return at != looks.end() && at->frame == frame ? &*at : nullptr;
  };
  for (const ScatterLook& look : looks) {
    const ScatterLook* before = with_frame(look.frame - kApartFrames);
    const ScatterLook* after = with_frame(look.frame + kApartFrames);
    if (before == nullptr || after == nullptr) continue;
    const double off = look.value - 0.5 * (before->value + after->value);
    squares.push_back(off * off / (look.variance + 0.25 * (before->variance + after->variance)));
  }
  if (squares.size() < kFewest) return 1.0;
  const auto middle = squares.begin() + static_cast<std::ptrdiff_t>(squares.size() / 2);
  std::nth_element(squares.begin(), middle, squares.end());
  const double typical2 = 1.4826 * 1.4826 * *middle;
  double sum = 0.0;
  for (const double square : squares) sum += std::min(square, kClipSizes * kClipSizes * typical2);
  return std::clamp(std::sqrt(sum / static_cast<double>(squares.size()) / kMeanSquareClipped), kLeast, kMost);
}

}  // namespace loftline
