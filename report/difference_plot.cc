// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/difference_plot.h"

#include "report/format_number.h"
#include "report/html_text.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kWidth = 220.0, kHeight = 30.0, kMargin = 6.0, kMiddle = 15.0;
constexpr double kMostOfTypical = 3.0;  // the longest interval shown whole, beside the one in the middle

double Reach(const PairComparison& pair) {
  const Estimate& difference = pair.difference.difference;
  return std::max(std::abs(difference.low_95), std::abs(difference.high_95));
}

}  // namespace

AxisRange DifferenceRange(const ComparedQuantity& quantity) {
  std::vector<double> reaches;
  for (const PairComparison& pair : quantity.pairs) {
    if (std::isfinite(Reach(pair))) reaches.push_back(Reach(pair));
  }
  if (reaches.empty()) return {-1.0, 1.0};
  std::sort(reaches.begin(), reaches.end());
  const double most = kMostOfTypical * reaches[reaches.size() / 2];
  AxisRange range{0.0, 0.0};
  for (const PairComparison& pair : quantity.pairs) {
    range.Add(std::clamp(pair.difference.difference.low_95, -most, most));
    range.Add(std::clamp(pair.difference.difference.high_95, -most, most));
  }
  range.Widen();
  return range;
}

std::string DifferenceSvg(const PairComparison& pair, const AxisRange& range, const std::string& label) {
  const PlotFrame frame{kMargin, kWidth - kMargin, 0.0, kHeight, range, {0.0, 1.0}};
  const Estimate& difference = pair.difference.difference;
  const auto x = [&frame](double value) { return std::clamp(frame.X(value), 0.0, kWidth); };
  return fmt::format(
      R"(<svg class="difference{}" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)"
      R"(<path class="base" d="M0 {:.1f}H{:.1f}"/><path class="zero" d="M{:.1f} 1V{:.1f}"/>)"
      R"(<rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="8"/><path class="best" d="M{:.1f} {:.1f}v16"/></svg>)",
      pair.differ ? " differ" : "",
      kWidth,
      kHeight,
      EscapeHtml(label),
      kMiddle,
      kWidth,
      x(0.0),
      kHeight - 1.0,
      x(difference.low_95),
      kMiddle - 4.0,
      x(difference.high_95) - x(difference.low_95),
      x(difference.value),
      kMiddle - 8.0);
}

}  // namespace loftline
