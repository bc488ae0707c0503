// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_plots.h"

#include "report/format_number.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kMostCurvePoints = 160;
constexpr double kNormal95 = 1.959963984540054;  // half the 95 % interval of a normal distribution, in std

// Flights to the left are drawn to the right: distance grows along the flight.
double Along(const FlightResult& result, double x_m) {
  return result.flight.direction == Direction::kLeft ? -x_m : x_m;
}

// Few enough samples for a page, with the first, the last and both sides of every change between seen and not.
std::vector<PathSample> Thinned(const std::vector<PathSample>& path) {
  const std::size_t step = std::max<std::size_t>(1, path.size() / kMostCurvePoints);
  std::vector<PathSample> kept;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const bool at_turn =
        (i > 0 && path[i - 1].seen != path[i].seen) || (i + 1 < path.size() && path[i + 1].seen != path[i].seen);
    if (i % step == 0 || i + 1 == path.size() || at_turn) kept.push_back(path[i]);
  }
  return kept;
}

std::string Describe(const std::vector<PathSample>& path, const char* what) {
  const auto seen = std::count_if(path.begin(), path.end(), [](const PathSample& sample) { return sample.seen; });
  return fmt::format(
      "{} The curve is solid where the rocket was seen ({:.0f} % of the time) and dashed where it is calculated.",
      what,
      100.0 * static_cast<double>(seen) / static_cast<double>(path.size()));
}

Plot HeightPlot(const FlightResult& result, const std::vector<PathSample>& path) {
  Plot plot;
  plot.id = "plot-height";
  plot.title = "Height against distance";
  plot.x_label = "distance from the launch point";
  plot.y_label = "height";
  plot.x_unit = plot.y_unit = "m";
  plot.equal_axes = true;
  plot.guides = {0.0};
  Plot::Points seen{"seen", Plot::Marker::kRing, {}, {}};
  for (const PathSample& sample : path) {
    plot.x.push_back(Along(result, sample.in_plane_m.x()));
    plot.y.push_back(sample.in_plane_m.y());
    plot.half_95.push_back(kNormal95 * sample.height_std_m);
    plot.seen.push_back(sample.seen);
  }
  for (const FittedPoint& point : result.points) {
    if (!point.used || !point.seen_in_plane_m.allFinite()) continue;
    seen.x.push_back(Along(result, point.seen_in_plane_m.x()));
    seen.y.push_back(point.seen_in_plane_m.y());
  }
  plot.points.push_back(std::move(seen));
  plot.description = Describe(path, "The flight from the side, both axes in metres and to the same scale.");
  return plot;
}

Plot SpeedPlot(const std::vector<PathSample>& path) {
  Plot plot;
  plot.id = "plot-speed";
  plot.title = "Speed against time";
  plot.x_label = "time since launch";
  plot.y_label = "speed";
  plot.x_unit = "s";
  plot.y_unit = "m/s";
  plot.guides = {0.0};
  for (const PathSample& sample : path) {
    plot.x.push_back(sample.time_s);
    plot.y.push_back(sample.speed_m_s);
    plot.half_95.push_back(kNormal95 * sample.speed_std_m_s);
    plot.seen.push_back(sample.seen);
  }
  plot.description = Describe(path, "Speed along the path, with its 95 % band.");
  return plot;
}

Plot ResidualPlot(const FlightResult& result) {
  Plot plot;
  plot.id = "plot-residuals";
  plot.title = "What the fit leaves over";
  plot.x_label = "time since launch";
  plot.y_label = "seen minus fitted";
  plot.x_unit = "s";
  plot.y_unit = "std";
  plot.guides = {-2.0, 0.0, 2.0};
  Plot::Points along{"along the path", Plot::Marker::kRing, {}, {}};
  Plot::Points across{"across it", Plot::Marker::kSquare, {}, {}};
  for (const FittedPoint& point : result.points) {
    if (!point.used || !point.residual_sigmas.allFinite()) continue;
    along.x.push_back(point.time_s);
    along.y.push_back(point.residual_sigmas.x());
    across.x.push_back(point.time_s);
    across.y.push_back(point.residual_sigmas.y());
  }
  plot.description = fmt::format(
      "Residuals of {} positions in standard deviations: rings along the path, squares across it. In a good fit they "
      "scatter about zero without a pattern, and at least 95 of 100 lie between the two dashed lines.",
      along.x.size());
  plot.points = {std::move(along), std::move(across)};
  return plot;
}

nlohmann::ordered_json Rounded(const std::vector<double>& values) {
  auto json = nlohmann::ordered_json::array();
  for (const double value : values) {
    // Five digits are finer than a screen; a JSON parser of doubles keeps them short.
    json.push_back(std::isfinite(value) ? nlohmann::ordered_json(std::stod(fmt::format("{:.5g}", value)))
                                        : nlohmann::ordered_json());
  }
  return json;
}

}  // namespace

std::vector<Plot> FlightPlots(const FlightResult& result) {
  std::vector<Plot> plots;
  const std::vector<PathSample> path = Thinned(result.path);
  if (path.size() > 1) {
    plots.push_back(HeightPlot(result, path));
    plots.push_back(SpeedPlot(path));
  }
  Plot residuals = ResidualPlot(result);
  if (residuals.points.front().x.size() > 1) plots.push_back(std::move(residuals));
  return plots;
}

std::optional<Plot> AnglePlot(const FlightResult& result) {
  const Straightness& straightness = result.straightness;
  if (straightness.angles.empty()) return std::nullopt;
  Plot plot;
  plot.id = "plot-angle";
  plot.title = "Body against path";
  plot.x_label = "time since launch";
  plot.y_label = "angle off the path";
  plot.x_unit = "s";
  plot.y_unit = "°";
  plot.guides = {0.0};
  Plot::Points measured{"measured", Plot::Marker::kRing, {}, {}};
  for (const BodyAngle& angle : straightness.angles) {
    plot.x.push_back(angle.time_s);
    plot.y.push_back(angle.fitted_deg);
    plot.half_95.push_back(kNormal95 * angle.angle_deg.std);
    plot.seen.push_back(true);
    if (!angle.believed) continue;
    measured.x.push_back(angle.time_s);
    measured.y.push_back(angle.angle_deg.value);
  }
  plot.description = fmt::format(
      "How far the body pointed off its path on {} frames (rings), the motion found in them, and the band that holds "
      "95 "
      "of 100 single frames.",
      measured.x.size());
  plot.points.push_back(std::move(measured));
  return plot;
}

nlohmann::ordered_json PlotAsJson(const Plot& plot) {
  nlohmann::ordered_json json;
  json["id"] = plot.id;
  json["title"] = plot.title;
  json["description"] = plot.description;
  json["x_label"] = plot.x_label;
  json["y_label"] = plot.y_label;
  json["x_unit"] = plot.x_unit;
  json["y_unit"] = plot.y_unit;
  json["equal_axes"] = plot.equal_axes;
  json["x"] = Rounded(plot.x);
  json["y"] = Rounded(plot.y);
  json["half_95"] = Rounded(plot.half_95);
  json["seen"] = plot.seen;
  json["guides"] = Rounded(plot.guides);
  json["points"] = nlohmann::ordered_json::array();
  for (const Plot::Points& points : plot.points) {
    json["points"].push_back({{"name", points.name},
                              {"marker", points.marker == Plot::Marker::kRing ? "ring" : "square"},
                              {"x", Rounded(points.x)},
                              {"y", Rounded(points.y)}});
  }
  return json;
}

}  // namespace loftline
