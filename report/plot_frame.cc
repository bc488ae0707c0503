// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/plot_frame.h"

#include "report/format_number.h"
#include "report/html_text.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {

void AxisRange::Add(double value) {
  if (!std::isfinite(value)) return;
  low = std::min(low, value);
  high = std::max(high, value);
}

void AxisRange::Widen() {
  if (!(high >= low)) *this = {0.0, 1.0};
  const double margin = high > low ? 0.05 * (high - low) : 1.0;
  low -= margin;
  high += margin;
}

void Equalize(PlotFrame& frame, double least_height, double most_height) {
  const double width = frame.right - frame.left;
  const double height = std::clamp(frame.y.size() * width / frame.x.size(), least_height, most_height);
  const double per_unit = std::min(width / frame.x.size(), height / frame.y.size());
  frame.bottom = frame.top + height;
  frame.x.high = frame.x.low + width / per_unit;
  frame.y.high = frame.y.low + height / per_unit;
}

std::vector<double> RoundTicks(double low, double high, int count) {
  std::vector<double> ticks;
  if (!(high > low) || count < 1) return ticks;
  const double rough = (high - low) / count;
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  const double step = power * (rough / power > 5.0   ? 10.0
                               : rough / power > 2.0 ? 5.0
                               : rough / power > 1.0 ? 2.0
                                                     : 1.0);
  for (double i = std::ceil(low / step - 1e-9); i * step <= high + 1e-9 * step; ++i) ticks.push_back(i * step);
  return ticks;
}

std::string LevelGrid(const PlotFrame& frame, int count) {
  std::string svg;
  for (const double tick : RoundTicks(frame.y.low, frame.y.high, count)) {
    svg += fmt::format(
        R"(<path class="grid" d="M{:.1f} {:.1f}H{:.1f}"/><text x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)",
        frame.left,
        frame.Y(tick),
        frame.right,
        frame.left - 7.0,
        frame.Y(tick) + 4.5,
        FormatPlain(tick, 6));
  }
  return svg;
}

std::string UprightGrid(const PlotFrame& frame, int count) {
  std::string svg;
  for (const double tick : RoundTicks(frame.x.low, frame.x.high, count)) {
    svg += fmt::format(
        R"(<path class="grid" d="M{:.1f} {:.1f}V{:.1f}"/><text x="{:.1f}" y="{:.1f}" text-anchor="middle">{}</text>)",
        frame.X(tick),
        frame.top,
        frame.bottom,
        frame.X(tick),
        frame.bottom + 19.0,
        FormatPlain(tick, 6));
  }
  return svg;
}

std::string AxisNames(const PlotFrame& frame, const std::string& x_name, const std::string& y_name) {
  return fmt::format(
      R"(<text class="axis" x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)"
      R"svg(<text class="axis" transform="translate(13 {:.1f}) rotate(-90)" text-anchor="end">{}</text>)svg",
      frame.right,
      frame.bottom + 46.0,
      EscapeHtml(x_name),
      frame.top,
      EscapeHtml(y_name));
}

std::string AxisNamesInside(const PlotFrame& frame, const std::string& x_name, const std::string& y_name) {
  return fmt::format(R"(<text class="axis" x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)"
                     R"(<text class="axis" x="{:.1f}" y="{:.1f}">{}</text>)",
                     frame.right,
                     frame.bottom + 46.0,
                     EscapeHtml(x_name),
                     frame.left + 6.0,
                     frame.top + 16.0,
                     EscapeHtml(y_name));
}

std::string AxisName(const std::string& label, const std::string& unit) {
  return unit.empty() ? label : label + " (" + unit + ")";
}

std::string LineData(const PlotFrame& frame, const std::vector<double>& xs, const std::vector<double>& ys) {
  std::string data;
  for (std::size_t i = 0; i < std::min(xs.size(), ys.size()); ++i) {
    data += fmt::format("{}{:.1f} {:.1f}", i == 0 ? "M" : "L", frame.X(xs[i]), frame.Y(ys[i]));
  }
  return data;
}

}  // namespace loftline
