// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/drag_table.h"

#include <stdexcept>
#include <utility>

namespace loftline {
namespace {

double SignOf(double value) {
  return value > 0.0 ? 1.0 : value < 0.0 ? -1.0 : 0.0;
}

// Steffen's equation 11; at the two ends the chord's slope, the simplest of those in his section 2.2.
std::vector<double> SlopesOf(const std::vector<double>& x, const std::vector<double>& y) {
  std::vector<double> slopes(x.size(), 0.0);
  if (x.size() < 2) return slopes;
  const auto chord = [&](std::size_t i) { return (y[i + 1] - y[i]) / (x[i + 1] - x[i]); };
  for (std::size_t i = 1; i + 1 < x.size(); ++i) {
    const double before = x[i] - x[i - 1], after = x[i + 1] - x[i];
    const double parabola = (chord(i - 1) * after + chord(i) * before) / (before + after);
    slopes[i] = (SignOf(chord(i - 1)) + SignOf(chord(i))) *
                std::min({std::abs(chord(i - 1)), std::abs(chord(i)), 0.5 * std::abs(parabola)});
  }
  slopes.front() = chord(0);
  slopes.back() = chord(x.size() - 2);
  return slopes;
}

}  // namespace

DragTable::DragTable(DragAgainst against, const std::vector<double>& at, std::vector<double> coefficients)
    : against_(against), at_(at), coefficients_(std::move(coefficients)), knots_(at) {
  if (at_.empty() || at_.size() != coefficients_.size()) throw std::invalid_argument("a drag table without its rows");
  for (std::size_t i = 0; i < at_.size(); ++i) {
    if (i > 0 && !(at_[i] > at_[i - 1])) throw std::invalid_argument("a drag table out of order");
    if (against_ != DragAgainst::kReynolds) continue;
    if (!(at_[i] > 0.0)) throw std::invalid_argument("a Reynolds number that is not above zero");
    knots_[i] = std::log(at_[i]);
  }
  slopes_ = SlopesOf(knots_, coefficients_);
}

}  // namespace loftline
