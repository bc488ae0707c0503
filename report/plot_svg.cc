// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_plots.h"
#include "report/html_text.h"
#include "report/plot_frame.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

// The sheet, in SVG units; the page scales it.
constexpr double kWidth = 640.0;
constexpr double kLeft = 52.0, kRight = 14.0, kTop = 12.0, kBottom = 54.0;
constexpr double kUsualHeight = 300.0;
constexpr double kLeastHeight = 104.0, kMostHeight = 394.0;  // of the frame, where its axes are equal

class PlotSheet {
 public:
  explicit PlotSheet(const Plot& plot)
      : plot_(plot), frame_{kLeft, kWidth - kRight, kTop, kUsualHeight - kBottom, {}, {}} {
    for (std::size_t i = 0; i < plot.x.size(); ++i) {
      frame_.x.Add(plot.x[i]);
      frame_.y.Add(plot.y[i] + Half(i));
      frame_.y.Add(plot.y[i] - Half(i));
    }
    for (const Plot::Points& points : plot.points) {
      for (const double x : points.x) frame_.x.Add(x);
      for (const double y : points.y) frame_.y.Add(y);
    }
    for (const double guide : plot.guides) frame_.y.Add(guide);
    frame_.x.Widen();
    frame_.y.Widen();
    if (plot.equal_axes) Equalize(frame_, kLeastHeight, kMostHeight);
  }

  std::string Draw() const {
    std::string svg = fmt::format(R"(<svg class="chart" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                                  kWidth,
                                  frame_.bottom + kBottom,
                                  EscapeHtml(plot_.title + ". " + plot_.description));
    svg += Axes() + Band() + Curves();
    for (const Plot::Points& points : plot_.points) svg += PointsOf(points);
    svg += AxisNames(frame_, AxisName(plot_.x_label, plot_.x_unit), AxisName(plot_.y_label, plot_.y_unit));
    return svg + "</svg>";
  }

 private:
  double Half(std::size_t i) const {
    return i < plot_.half_95.size() && std::isfinite(plot_.half_95[i]) ? plot_.half_95[i] : 0.0;
  }
  double X(double x) const { return frame_.X(x); }
  double Y(double y) const { return frame_.Y(y); }

  std::string Axes() const {
    std::string svg = LevelGrid(frame_, 7) + UprightGrid(frame_, 8);
    for (const double guide : plot_.guides) {
      svg += fmt::format(R"(<path class="guide{}" d="M{:.1f} {:.1f}H{:.1f}"/>)",
                         guide == 0.0 ? " zero" : "",
                         frame_.left,
                         Y(guide),
                         frame_.right);
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

  const Plot& plot_;
  PlotFrame frame_;
};

}  // namespace

std::string PlotAsSvg(const Plot& plot) {
  return PlotSheet(plot).Draw();
}

}  // namespace loftline
