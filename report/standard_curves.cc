// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/standard_curves.h"

#include "report/design_mark.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/plot_frame.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kWidth = 940.0;
constexpr double kLeft = 48.0, kRight = 14.0, kTop = 10.0, kBottom = 54.0;
constexpr double kLeastHeight = 160.0, kMostHeight = 400.0;
constexpr std::size_t kMarksOnPath = 9;  // few enough to stay apart, enough to follow a line by

// The band ends at the landing level, as the path does.
double InAir(const StandardPath& path, double y_m) {
  return std::max(y_m, path.samples.back().y_m);
}

PlotFrame FrameOf(const std::vector<StandardPath>& paths) {
  PlotFrame frame{kLeft, kWidth - kRight, kTop, kTop, {}, {}};
  frame.x.Add(0.0);
  frame.y.Add(0.0);
  for (const StandardPath& path : paths) {
    for (const StandardPath::Sample& sample : path.beyond) frame.x.Add(sample.x_m);
    for (const StandardPath::Sample& sample : path.samples) {
      frame.x.Add(sample.x_m);
      for (const double y : {sample.y_m, sample.low_y_m, sample.high_y_m}) frame.y.Add(InAir(path, y));
    }
  }
  frame.x.Widen();
  frame.y.Widen();
  Equalize(frame, kLeastHeight, kMostHeight);
  return frame;
}

std::string BandSvg(const StandardPath& path, const PlotFrame& frame) {
  std::vector<StandardPath::Sample> samples = path.samples;
  samples.insert(samples.end(), path.beyond.begin(), path.beyond.end());
  std::vector<double> xs;
  std::vector<double> ys;
  for (const StandardPath::Sample& sample : samples) {
    xs.push_back(sample.x_m);
    ys.push_back(InAir(path, sample.high_y_m));
  }
  for (auto sample = samples.rbegin(); sample != samples.rend(); ++sample) {
    xs.push_back(sample->x_m);
    ys.push_back(InAir(path, sample->low_y_m));
  }
  return fmt::format(R"(<path class="spread-band {}" d="{}z"/>)", DesignClass(path.design), LineData(frame, xs, ys));
}

std::string PathSvg(const StandardPath& path, const PlotFrame& frame) {
  std::vector<double> xs;
  std::vector<double> ys;
  for (const StandardPath::Sample& sample : path.samples) {
    xs.push_back(sample.x_m);
    ys.push_back(sample.y_m);
  }
  return fmt::format(R"(<path class="path {}" d="{}"/>)", DesignClass(path.design), LineData(frame, xs, ys));
}

// At the end, and at steps along it that differ from design to design: paths that run together stay told apart.
std::string MarksSvg(const StandardPath& path, const PlotFrame& frame, std::size_t nth, std::size_t of) {
  std::string svg;
  const double last = static_cast<double>(path.samples.size() - 1);
  const double part = static_cast<double>(nth) / static_cast<double>(std::max<std::size_t>(1, of));
  for (std::size_t k = 0; k < kMarksOnPath; ++k) {
    const double at = (static_cast<double>(k) + 0.5 + part) / (static_cast<double>(kMarksOnPath) + 1.0) * last;
    const StandardPath::Sample& sample = path.samples[static_cast<std::size_t>(at)];
    svg += DesignMark(path.design, frame.X(sample.x_m), frame.Y(sample.y_m), 5.0, "mean");
  }
  const StandardPath::Sample& end = path.samples.back();
  return svg + DesignMark(path.design, frame.X(end.x_m), frame.Y(end.y_m), 6.5, "mean");
}

}  // namespace

std::string StandardCurvesSvg(const Comparison& comparison) {
  std::vector<StandardPath> paths = comparison.paths;
  std::erase_if(paths, [&](const StandardPath& path) {
    return path.samples.size() < 2 || path.design >= comparison.designs.size();
  });
  if (paths.empty()) return "";
  const PlotFrame frame = FrameOf(paths);
  std::string told = "Height against distance at the standard launch.";
  for (const StandardPath& path : paths) {
    told += fmt::format(" {}: {} m high, {} m far.",
                        comparison.designs[path.design].name,
                        FormatPlain(path.apogee_m, 3),
                        FormatPlain(path.range_m, 3));
  }
  std::string svg = fmt::format(R"(<svg class="chart curves" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">)",
                                kWidth,
                                frame.bottom + kBottom,
                                EscapeHtml(told));
  svg += LevelGrid(frame, 6) + UprightGrid(frame, 10);
  svg += fmt::format(R"(<path class="guide zero" d="M{:.1f} {:.1f}H{:.1f}"/>)", frame.left, frame.Y(0.0), frame.right);
  for (const StandardPath& path : paths) svg += BandSvg(path, frame);
  for (const StandardPath& path : paths) svg += PathSvg(path, frame);
  for (std::size_t i = 0; i < paths.size(); ++i) svg += MarksSvg(paths[i], frame, i, paths.size());
  return svg + AxisNamesInside(frame, "distance from the launch point (m)", "height (m)") + "</svg>";
}

}  // namespace loftline
