// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_plots.h"
#include "report/format_number.h"
#include "report/html_text.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace loftline {
namespace {

// The sheet, in SVG units; the page scales it.
constexpr double kWidth = 640.0;
constexpr double kLeft = 52.0, kRight = 14.0, kTop = 12.0, kBottom = 54.0;
constexpr double kUsualHeight = 300.0;
constexpr double kLeastHeight = 170.0, kMostHeight = 460.0;

struct Range {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();

  void Add(double value) {
    if (!std::isfinite(value)) return;
    low = std::min(low, value);
    high = std::max(high, value);
  }
  // Room around the data, and never an empty range.
  void Widen() {
    if (!(high >= low)) *this = {0.0, 1.0};
    const double margin = high > low ? 0.05 * (high - low) : 1.0;
    low -= margin;
    high += margin;
  }
  double size() const { return high - low; }
};

class PlotSheet {
 public:
  explicit PlotSheet(const Plot& plot) : plot_(plot) {
    for (std::size_t i = 0; i < plot.x.size(); ++i) {
      x_range_.Add(plot.x[i]);
      y_range_.Add(plot.y[i] + Half(i));
      y_range_.Add(plot.y[i] - Half(i));
    }
    for (const Plot::Points& points : plot.points) {
      for (const double x : points.x) x_range_.Add(x);
      for (const double y : points.y) y_range_.Add(y);
    }
    for (const double guide : plot.guides) y_range_.Add(guide);
    x_range_.Widen();
    y_range_.Widen();
    if (plot.equal_axes) Equalize();
  }

  std::string Draw() const {
    std::string svg = fmt::format(R"(<svg class="chart" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                                  kWidth,
                                  height_,
                                  EscapeHtml(plot_.title + ". " + plot_.description));
    svg += Axes() + Band() + Curves();
    for (const Plot::Points& points : plot_.points) svg += PointsOf(points);
    return svg + Names() + "</svg>";
  }

 private:
  double Half(std::size_t i) const {
    return i < plot_.half_95.size() && std::isfinite(plot_.half_95[i]) ? plot_.half_95[i] : 0.0;
  }
  double X(double x) const { return kLeft + (x - x_range_.low) / x_range_.size() * (kWidth - kLeft - kRight); }
  double Y(double y) const {
    return height_ - kBottom - (y - y_range_.low) / y_range_.size() * (height_ - kTop - kBottom);
  }

  // The sheet's height follows the data; where it would leave its limits, one range grows instead.
  void Equalize() {
    const double inner_width = kWidth - kLeft - kRight;
    height_ = std::clamp(y_range_.size() * inner_width / x_range_.size() + kTop + kBottom, kLeastHeight, kMostHeight);
    const double per_unit = std::min(inner_width / x_range_.size(), (height_ - kTop - kBottom) / y_range_.size());
    x_range_.high = x_range_.low + inner_width / per_unit;
    y_range_.high = y_range_.low + (height_ - kTop - kBottom) / per_unit;
  }

  std::string Axes() const {
    std::string svg;
    const double bottom = height_ - kBottom;
    for (const double tick : RoundTicks(y_range_.low, y_range_.high, 7)) {
      svg += fmt::format(
          R"(<path class="grid" d="M{:.1f} {:.1f}H{:.1f}"/><text x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)",
          kLeft,
          Y(tick),
          kWidth - kRight,
          kLeft - 7.0,
          Y(tick) + 4.5,
          FormatPlain(tick, 6));
    }
    for (const double tick : RoundTicks(x_range_.low, x_range_.high, 8)) {
      svg += fmt::format(
          R"(<path class="grid" d="M{:.1f} {:.1f}V{:.1f}"/><text x="{:.1f}" y="{:.1f}" text-anchor="middle">{}</text>)",
          X(tick),
          kTop,
          bottom,
          X(tick),
          bottom + 19.0,
          FormatPlain(tick, 6));
    }
    for (const double guide : plot_.guides) {
      svg += fmt::format(R"(<path class="guide{}" d="M{:.1f} {:.1f}H{:.1f}"/>)",
                         guide == 0.0 ? " zero" : "",
                         kLeft,
                         Y(guide),
                         kWidth - kRight);
    }
    return svg;
  }

  std::string Band() const {
    if (plot_.half_95.empty()) return "";
    std::string data;
    for (std::size_t i = 0; i < plot_.x.size(); ++i) {
      data += fmt::format("{}{:.1f} {:.1f}", i == 0 ? "M" : "L", X(plot_.x[i]), Y(plot_.y[i] + Half(i)));
    }
    for (std::size_t i = plot_.x.size(); i-- > 0;) {
      data += fmt::format("L{:.1f} {:.1f}", X(plot_.x[i]), Y(plot_.y[i] - Half(i)));
    }
    return fmt::format(R"(<path class="band" d="{}z"/>)", data);
  }

  std::string Curves() const {
    std::string svg;
    for (std::size_t begin = 0; begin + 1 < plot_.x.size();) {
      std::size_t end = begin + 1;
      while (end < plot_.x.size() && plot_.seen[end] == plot_.seen[begin]) ++end;
      std::string data;
      for (std::size_t i = begin; i < std::min(end + 1, plot_.x.size()); ++i) {
        data += fmt::format("{}{:.1f} {:.1f}", i == begin ? "M" : "L", X(plot_.x[i]), Y(plot_.y[i]));
      }
      svg += fmt::format(R"(<path class="curve {}" d="{}"/>)", plot_.seen[begin] ? "seen" : "calculated", data);
      begin = end;
    }
    return svg;
  }

  std::string PointsOf(const Plot::Points& points) const {
    std::string svg;
    for (std::size_t i = 0; i < points.x.size(); ++i) {
      const double x = X(points.x[i]);
      const double y = Y(points.y[i]);
      svg +=
          points.marker == Plot::Marker::kRing
              ? fmt::format(R"(<circle class="ring" cx="{:.1f}" cy="{:.1f}" r="3"/>)", x, y)
              : fmt::format(R"(<rect class="square" x="{:.1f}" y="{:.1f}" width="5" height="5"/>)", x - 2.5, y - 2.5);
    }
    return svg;
  }

  std::string Names() const {
    const auto with_unit = [](const std::string& label, const std::string& unit) {
      return EscapeHtml(unit.empty() ? label : label + " (" + unit + ")");
    };
    return fmt::format(
        R"(<text class="axis" x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)"
        R"svg(<text class="axis" transform="translate(13 {:.1f}) rotate(-90)" text-anchor="end">{}</text>)svg",
        kWidth - kRight,
        height_ - 8.0,
        with_unit(plot_.x_label, plot_.x_unit),
        kTop,
        with_unit(plot_.y_label, plot_.y_unit));
  }

  const Plot& plot_;
  Range x_range_, y_range_;
  double height_ = kUsualHeight;
};

}  // namespace

std::string PlotAsSvg(const Plot& plot) {
  return PlotSheet(plot).Draw();
}

}  // namespace loftline
