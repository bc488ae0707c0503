// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// A plot as data. It is drawn twice: by PlotAsSvg for paper and for pages without scripts, and by flight_plots.js for
// looking at values.
struct Plot {
  enum class Marker { kRing, kSquare };
  struct Points {
    std::string name;
    Marker marker = Marker::kRing;
    std::vector<double> x, y;
  };
  std::string id, title, description;  // the description is for those who cannot see the plot
  std::string x_label, y_label, x_unit, y_unit;
  bool equal_axes = false;            // a metre is as long sideways as upwards
  std::vector<double> x, y, half_95;  // the curve and half its 95 % band; may be empty
  std::vector<bool> seen;             // as long as x
  std::vector<Points> points;
  std::vector<double> guides;  // level lines, in y
};

// Height against distance, speed against time, residuals against time; those for which there are data.
std::vector<Plot> FlightPlots(const FlightResult& result);

// The body's angle to its path against time; nothing where it was not measured.
std::optional<Plot> AnglePlot(const FlightResult& result);

nlohmann::ordered_json PlotAsJson(const Plot& plot);

// An <svg> element, classes as in report.css.
std::string PlotAsSvg(const Plot& plot);

}  // namespace loftline
