// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/drawing_svg.h"

#include "report/html_text.h"

#include <fmt/format.h>

namespace loftline {
namespace {

const char* ClassOf(FlightDrawing::Line line) {
  switch (line) {
    case FlightDrawing::Line::kSeen:
      return "path seen";
    case FlightDrawing::Line::kCalculated:
      return "path calculated";
    case FlightDrawing::Line::kBaseline:
      return "baseline";
    case FlightDrawing::Line::kRuler:
      return "ruler";
    case FlightDrawing::Line::kTick:
      return "tick";
  }
  return "";
}

const char* AnchorName(FlightDrawing::Anchor anchor) {
  switch (anchor) {
    case FlightDrawing::Anchor::kStart:
      return "start";
    case FlightDrawing::Anchor::kMiddle:
      return "middle";
    case FlightDrawing::Anchor::kEnd:
      return "end";
  }
  return "";
}

std::string PathData(const FlightDrawing::Stroke& stroke) {
  std::string data;
  for (const Eigen::Vector2d& point : stroke.points) {
    data += fmt::format("{}{:.1f} {:.1f}", data.empty() ? "M" : "L", point.x(), point.y());
  }
  return data;
}

std::string MarkAsSvg(const FlightDrawing::Placed& placed, double size) {
  const double x = placed.at.x();
  const double y = placed.at.y();
  switch (placed.mark) {
    case FlightDrawing::Mark::kSeenPoint:
      return fmt::format(R"(<circle class="point" cx="{:.1f}" cy="{:.1f}" r="{:.1f}"/>)", x, y, 0.13 * size);
    case FlightDrawing::Mark::kRocket:
      return fmt::format(R"(<circle class="edge" cx="{0:.1f}" cy="{1:.1f}" r="{2:.1f}"/>)"
                         R"(<circle class="rocket" cx="{0:.1f}" cy="{1:.1f}" r="{2:.1f}"/>)",
                         x,
                         y,
                         placed.radius);
    case FlightDrawing::Mark::kLaunch: {
      const double r = 0.5 * size;
      return fmt::format(R"(<path class="launch" d="M{:.1f} {:.1f}l{:.1f} {:.1f}l{:.1f} {:.1f}l{:.1f} {:.1f}z"/>)",
                         x,
                         y - r,
                         r,
                         r,
                         -r,
                         r,
                         -r,
                         -r);
    }
    case FlightDrawing::Mark::kApogee: {
      const double r = 0.7 * size;
      return fmt::format(R"(<path class="apogee" d="M{:.1f} {:.1f}h{:.1f}"/>)", x - r, y, 2.0 * r);
    }
  }
  return "";
}

}  // namespace

std::string DrawingAsSvg(const FlightDrawing& drawing, double text_size) {
  std::string svg;
  // Edges first, so that a line's edge never lies over another line.
  for (const FlightDrawing::Stroke& stroke : drawing.strokes) {
    svg += fmt::format(R"(<path class="edge {}" d="{}"/>)", ClassOf(stroke.line), PathData(stroke));
  }
  for (const FlightDrawing::Stroke& stroke : drawing.strokes) {
    svg += fmt::format(R"(<path class="{}" d="{}"/>)", ClassOf(stroke.line), PathData(stroke));
  }
  for (const FlightDrawing::Placed& placed : drawing.marks) svg += MarkAsSvg(placed, text_size);
  for (const FlightDrawing::Tag& tag : drawing.tags) {
    svg += fmt::format(R"(<text class="{}" x="{:.1f}" y="{:.1f}" text-anchor="{}">{}</text>)",
                       tag.minor ? "tag minor" : "tag",
                       tag.at.x(),
                       tag.at.y(),
                       AnchorName(tag.anchor),
                       EscapeHtml(tag.text));
  }
  return svg;
}

}  // namespace loftline
