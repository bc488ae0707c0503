// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <limits>
#include <string>
#include <vector>

namespace loftline {

// The pieces that every plot is drawn from, in SVG; classes as in base.css.

struct AxisRange {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();

  void Add(double value);  // passes over what is not finite
  void Widen();            // room around the data, and never an empty range
  double size() const { return high - low; }
};

// A rectangle of an SVG sheet (y downwards), and what part of the data it shows.
struct PlotFrame {
  double left = 0.0, right = 0.0, top = 0.0, bottom = 0.0;
  AxisRange x, y;

  double X(double value) const { return left + (value - x.low) / x.size() * (right - left); }
  double Y(double value) const { return bottom - (value - y.low) / y.size() * (bottom - top); }
};

// Makes a unit as long sideways as upwards: the frame's bottom follows the data, and where its height would leave its
// limits, one range grows instead.
void Equalize(PlotFrame& frame, double least_height, double most_height);

// Round numbers from LOW to HIGH, about COUNT of them.
std::vector<double> RoundTicks(double low, double high, int count);

// Lines across the frame at round numbers, about COUNT of them, with the numbers beside it: at the left for level
// lines, below it for upright ones.
std::string LevelGrid(const PlotFrame& frame, int count);
std::string UprightGrid(const PlotFrame& frame, int count);

// The axes' names, escaped here: below the frame at its right end, and turned along its left side.
std::string AxisNames(const PlotFrame& frame, const std::string& x_name, const std::string& y_name);
// For sheets where letters grow on small screens and paper: the y axis's name stands inside the frame's top left
// corner.
std::string AxisNamesInside(const PlotFrame& frame, const std::string& x_name, const std::string& y_name);

// "speed (m/s)", "drag coefficient"
std::string AxisName(const std::string& label, const std::string& unit);

// A polyline's data in a frame ("M1.0 2.0L3.0 4.0"), XS and YS of one length.
std::string LineData(const PlotFrame& frame, const std::vector<double>& xs, const std::vector<double>& ys);

}  // namespace loftline
