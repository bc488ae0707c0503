// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/design_mark.h"

#include "report/html_text.h"

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include <Eigen/Core>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kLooks = 6;   // colours and line styles in comparison.css
constexpr std::size_t kShapes = 7;  // another number, so that both together repeat late

using Corners = std::vector<Eigen::Vector2d>;

Corners Regular(int corners, double first_deg, double radius) {
  Corners shape;
  for (int i = 0; i < corners; ++i) {
    const double angle = (first_deg + 360.0 * i / corners) * std::numbers::pi / 180.0;
    shape.emplace_back(radius * std::cos(angle), -radius * std::sin(angle));
  }
  return shape;
}

Corners Cross() {
  constexpr double kArm = 1.15, kHalf = 0.4;
  return {{-kHalf, -kArm},
          {kHalf, -kArm},
          {kHalf, -kHalf},
          {kArm, -kHalf},
          {kArm, kHalf},
          {kHalf, kHalf},
          {kHalf, kArm},
          {-kHalf, kArm},
          {-kHalf, kHalf},
          {-kArm, kHalf},
          {-kArm, -kHalf},
          {-kHalf, -kHalf}};
}

// Radii such that all look about equally large.
Corners ShapeOf(std::size_t design) {
  switch (design % kShapes) {
    case 0:
      return Regular(24, 0.0, 1.0);  // a disc
    case 1:
      return Regular(4, 45.0, 1.25);  // a square
    case 2:
      return Regular(3, 90.0, 1.4);  // a triangle
    case 3:
      return Regular(4, 90.0, 1.35);  // a square on its corner
    case 4:
      return Regular(3, 270.0, 1.4);  // a triangle on its corner
    case 5:
      return Cross();
    default:
      return Regular(6, 0.0, 1.15);
  }
}

}  // namespace

std::string DesignClass(std::size_t design) {
  return fmt::format("d{}", design % kLooks + 1);
}

std::string DesignMark(
    std::size_t design, double x, double y, double radius, std::string_view look, const std::string& title) {
  std::string data;
  for (const Eigen::Vector2d& corner : ShapeOf(design)) {
    data += fmt::format("{}{:.1f} {:.1f}", data.empty() ? "M" : "L", x + radius * corner.x(), y + radius * corner.y());
  }
  const std::string shown = title.empty() ? "" : "<title>" + EscapeHtml(title) + "</title>";
  return fmt::format(R"(<path class="mark {} {}" d="{}z">{}</path>)", look, DesignClass(design), data, shown);
}

std::string DesignKey(std::size_t design) {
  return fmt::format(R"(<svg class="key" viewBox="0 0 14 14" aria-hidden="true">{}</svg>)",
                     DesignMark(design, 7.0, 7.0, 4.6, "mean"));
}

std::string DesignLineKey(std::size_t design) {
  return fmt::format(
      R"(<svg class="key line" viewBox="0 0 44 14" aria-hidden="true"><path class="path {}" d="M0 7H44"/>{}</svg>)",
      DesignClass(design),
      DesignMark(design, 22.0, 7.0, 4.2, "mean"));
}

}  // namespace loftline
