// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <array>
#include <vector>

#include <Eigen/Core>

namespace loftline::render {

// One picture before the sensor: luminance in linear light (white 1), chroma of BT.709 at half size, -0.5 .. 0.5.
struct Canvas {
  int width_px = 0, height_px = 0;
  std::vector<float> light;
  std::vector<float> blue, red;

  Canvas() = default;
  Canvas(int width, int height);
  float& Light(int x, int y) {
    return light[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_px) + static_cast<std::size_t>(x)];
  }
  std::size_t ChromaIndex(int x, int y) const {
    return static_cast<std::size_t>(y / 2) * static_cast<std::size_t>(width_px / 2) + static_cast<std::size_t>(x / 2);
  }
};

// A colour as the canvas holds it.
struct Paint {
  float light = 1.0f, blue = 0.0f, red = 0.0f;
};
Paint PaintFromRgb(const std::array<int, 3>& rgb);
Paint Shaded(Paint paint, double factor);

// Lays PAINT over one pixel with the given coverage, 0 .. 1.
void Lay(Canvas& canvas, int x, int y, const Paint& paint, float coverage);

// Share of a pixel under a strip |x| <= HALF seen through a blur EDGE wide, x off its middle: integrates to 2 HALF
// exactly.
double StripCoverage(double x, double half, double edge);

// A limb, pole or tube: a rounded stroke that may taper, lit from one side.
struct Stroke {
  Eigen::Vector2d from_px, to_px;
  double from_radius_px = 1.0, to_radius_px = 1.0;
};
// FRONT, where given, collects how much of each pixel is hidden by what is laid (same size as light).
void LayStroke(
    Canvas& canvas, const Stroke& stroke, const Paint& paint, double edge_px, std::vector<float>* front = nullptr);

}  // namespace loftline::render
