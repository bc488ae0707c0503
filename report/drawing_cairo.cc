// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/drawing_cairo.h"

#include "report/cairo_canvas.h"

namespace loftline {
namespace {

// A tick is too short for the edge of a line: a thin one keeps it light.
constexpr double kTickEdgeWidth = 0.12;
constexpr Ink kTickEdge{0.06, 0.08, 0.11, 0.55};

struct Look {
  double width;  // in text sizes
  Ink ink;
  bool dashed;
};

Look LookOf(FlightDrawing::Line line) {
  switch (line) {
    case FlightDrawing::Line::kSeen:
      return {0.1, {1.0, 0.85, 0.36, 1.0}, false};
    case FlightDrawing::Line::kCalculated:
      return {0.1, {1.0, 0.85, 0.36, 1.0}, true};
    case FlightDrawing::Line::kBaseline:
      return {0.12, {0.62, 0.91, 1.0, 1.0}, false};
    case FlightDrawing::Line::kRuler:
      return {0.08, {1.0, 1.0, 1.0, 0.85}, false};
    case FlightDrawing::Line::kTick:
      return {0.05, {1.0, 1.0, 1.0, 1.0}, false};
  }
  return {};
}

void DrawMark(CairoCanvas& canvas, const FlightDrawing::Placed& placed, double size) {
  const Eigen::Vector2d& at = placed.at;
  switch (placed.mark) {
    case FlightDrawing::Mark::kSeenPoint:
      canvas.Dot(at, 0.13 * size, {1.0, 1.0, 1.0, 1.0});
      return;
    case FlightDrawing::Mark::kRocket:
      canvas.Ring(at, placed.radius, 0.06 * size, {1.0, 1.0, 1.0, 0.9});
      return;
    case FlightDrawing::Mark::kLaunch: {
      const double r = 0.5 * size;
      canvas.Polygon({at + Eigen::Vector2d(0, -r),
                      at + Eigen::Vector2d(r, 0),
                      at + Eigen::Vector2d(0, r),
                      at + Eigen::Vector2d(-r, 0)},
                     {1.0, 1.0, 1.0, 1.0});
      return;
    }
    case FlightDrawing::Mark::kApogee: {
      const Eigen::Vector2d half(0.7 * size, 0.0);
      canvas.Edge({at - half, at + half}, 0.14 * size);
      canvas.Line({at - half, at + half}, 0.14 * size, {1.0, 1.0, 1.0, 1.0}, false);
      return;
    }
  }
}

}  // namespace

Status DrawOverPicture(const FlightDrawing& drawing, double text_size, cv::Mat& picture) {
  CairoCanvas canvas(picture);
  for (const FlightDrawing::Stroke& stroke : drawing.strokes) {
    if (stroke.line == FlightDrawing::Line::kTick) {
      canvas.Line(stroke.points, kTickEdgeWidth * text_size, kTickEdge, false);
    } else {
      canvas.Edge(stroke.points, LookOf(stroke.line).width * text_size);
    }
  }
  for (const FlightDrawing::Stroke& stroke : drawing.strokes) {
    const Look look = LookOf(stroke.line);
    canvas.Line(stroke.points, look.width * text_size, look.ink, look.dashed);
  }
  for (const FlightDrawing::Placed& placed : drawing.marks) DrawMark(canvas, placed, text_size);
  for (const FlightDrawing::Tag& tag : drawing.tags) canvas.Text(tag.text, tag.at, tag.anchor, text_size);
  return canvas.Finish();
}

}  // namespace loftline
