// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <string>
#include <variant>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// A drawing on white paper, to be printed and projected: areas, lines and words, drawn in their order. Coordinates as
// in SVG, x to the right and y down.
struct PaperInk {
  double red = 0.0, green = 0.0, blue = 0.0, alpha = 1.0;
};

struct PaperShape {
  std::vector<Eigen::Vector2d> points;
  bool closed = false;
  PaperInk fill{0.0, 0.0, 0.0, 0.0};
  PaperInk line{0.0, 0.0, 0.0, 0.0};
  double line_width = 1.0;
  bool dashed = false;
};

struct PaperWords {
  enum class Anchor { kStart, kMiddle, kEnd };
  std::string text;
  Eigen::Vector2d at = Eigen::Vector2d::Zero();  // on the baseline
  double size = 14.0;
  Anchor anchor = Anchor::kStart;
  PaperInk ink;
  bool bold = false;
  bool upwards = false;  // turned by a quarter, to be read from the right
};

struct PaperDrawing {
  double width = 0.0, height = 0.0;
  std::string described;  // for those who cannot see it
  std::vector<std::variant<PaperShape, PaperWords>> items;

  void Circle(
      const Eigen::Vector2d& middle, double radius, const PaperInk& fill, const PaperInk& line, double line_width);
};

// A whole SVG file, which needs nothing beside it. Words have a white edge, so that they can be read across lines.
std::string PaperAsSvg(const PaperDrawing& drawing);

// PNG bytes, PIXELS to a unit. Errors: "cannot-draw", "cannot-encode" (kInternal).
Expected<std::string> PaperAsPng(const PaperDrawing& drawing, double pixels);

}  // namespace loftline
