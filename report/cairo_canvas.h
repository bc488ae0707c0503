// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "report/flight_drawing.h"

#include <cairo.h>
#include <memory>
#include <string>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

struct Ink {
  double red = 1.0, green = 1.0, blue = 1.0, alpha = 1.0;
};

// Cairo over the pixels of a CV_8UC4 picture (ARGB32, alpha premultiplied), which must outlive the canvas. Every line
// and letter gets a dark edge, so that it can be read on sky and on trees. Coordinates are shown coordinates.
class CairoCanvas {
 public:
  explicit CairoCanvas(cv::Mat& picture);
  ~CairoCanvas();
  CairoCanvas(const CairoCanvas&) = delete;
  CairoCanvas& operator=(const CairoCanvas&) = delete;

  void Edge(const std::vector<Eigen::Vector2d>& points, double width);
  void Line(const std::vector<Eigen::Vector2d>& points, double width, const Ink& ink, bool dashed);
  void Dot(const Eigen::Vector2d& at, double radius, const Ink& ink);
  void Ring(const Eigen::Vector2d& at, double radius, double width, const Ink& ink);
  void Polygon(const std::vector<Eigen::Vector2d>& corners, const Ink& ink);
  void Text(const std::string& text, const Eigen::Vector2d& at, FlightDrawing::Anchor anchor, double size);
  void Plate(double left, double top, double width, double height);  // a dark, half-clear ground for text
  void Clear();

  // To be called after drawing. Errors: "cannot-draw" (kInternal).
  Status Finish();

 private:
  void Trace(const std::vector<Eigen::Vector2d>& points);
  void Use(const Ink& ink) { cairo_set_source_rgba(cairo_, ink.red, ink.green, ink.blue, ink.alpha); }

  cairo_surface_t* surface_;
  cairo_t* cairo_;
};

}  // namespace loftline
