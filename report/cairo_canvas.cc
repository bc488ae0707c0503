// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/cairo_canvas.h"

#include <numbers>

namespace loftline {
namespace {

constexpr Ink kDark{0.06, 0.08, 0.11, 0.72};
constexpr Ink kWhite{1.0, 1.0, 1.0, 1.0};
constexpr double kEdgeWidth = 1.3;  // on either side, in shown pixels

}  // namespace

CairoCanvas::CairoCanvas(cv::Mat& picture)
    : surface_(cairo_image_surface_create_for_data(
          picture.data, CAIRO_FORMAT_ARGB32, picture.cols, picture.rows, static_cast<int>(picture.step[0]))),
      cairo_(cairo_create(surface_)) {
  cairo_set_line_cap(cairo_, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
  cairo_select_font_face(cairo_, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_BOLD);
}

CairoCanvas::~CairoCanvas() {
  cairo_destroy(cairo_);
  cairo_surface_destroy(surface_);
}

void CairoCanvas::Trace(const std::vector<Eigen::Vector2d>& points) {
  cairo_new_path(cairo_);
  for (const Eigen::Vector2d& point : points) cairo_line_to(cairo_, point.x(), point.y());
}

void CairoCanvas::Edge(const std::vector<Eigen::Vector2d>& points, double width) {
  Trace(points);
  Use(kDark);
  cairo_set_dash(cairo_, nullptr, 0, 0.0);
  cairo_set_line_width(cairo_, width + 2.0 * kEdgeWidth);
  cairo_stroke(cairo_);
}

void CairoCanvas::Line(const std::vector<Eigen::Vector2d>& points, double width, const Ink& ink, bool dashed) {
  Trace(points);
  Use(ink);
  const double dashes[] = {4.0 * width, 4.0 * width};
  cairo_set_dash(cairo_, dashes, dashed ? 2 : 0, 0.0);
  cairo_set_line_width(cairo_, width);
  cairo_stroke(cairo_);
  cairo_set_dash(cairo_, nullptr, 0, 0.0);
}

void CairoCanvas::Ring(const Eigen::Vector2d& at, double radius, double width, const Ink& ink) {
  for (const bool edge : {true, false}) {
    cairo_new_path(cairo_);
    cairo_arc(cairo_, at.x(), at.y(), radius, 0.0, 2.0 * std::numbers::pi);
    Use(edge ? kDark : ink);
    cairo_set_line_width(cairo_, edge ? width + 2.0 * kEdgeWidth : width);
    cairo_stroke(cairo_);
  }
}

void CairoCanvas::Dot(const Eigen::Vector2d& at, double radius, const Ink& ink) {
  cairo_new_path(cairo_);
  cairo_arc(cairo_, at.x(), at.y(), radius, 0.0, 2.0 * std::numbers::pi);
  Use(kDark);
  cairo_set_line_width(cairo_, kEdgeWidth);
  cairo_stroke_preserve(cairo_);
  Use(ink);
  cairo_fill(cairo_);
}

void CairoCanvas::Polygon(const std::vector<Eigen::Vector2d>& corners, const Ink& ink) {
  Trace(corners);
  cairo_close_path(cairo_);
  Use(kDark);
  cairo_set_line_width(cairo_, 2.0 * kEdgeWidth);
  cairo_stroke_preserve(cairo_);
  Use(ink);
  cairo_fill(cairo_);
}

void CairoCanvas::Text(const std::string& text, const Eigen::Vector2d& at, FlightDrawing::Anchor anchor, double size) {
  cairo_set_font_size(cairo_, size);
  cairo_text_extents_t extents;
  cairo_text_extents(cairo_, text.c_str(), &extents);
  const double back = anchor == FlightDrawing::Anchor::kStart    ? 0.0
                      : anchor == FlightDrawing::Anchor::kMiddle ? 0.5 * extents.x_advance
                                                                 : extents.x_advance;
  cairo_move_to(cairo_, at.x() - back, at.y());
  cairo_text_path(cairo_, text.c_str());
  Use({kDark.red, kDark.green, kDark.blue, 0.85});
  cairo_set_line_width(cairo_, 0.24 * size);
  cairo_stroke_preserve(cairo_);
  Use(kWhite);
  cairo_fill(cairo_);
}

void CairoCanvas::Plate(double left, double top, double width, double height) {
  cairo_new_path(cairo_);
  cairo_rectangle(cairo_, left, top, width, height);
  Use({kDark.red, kDark.green, kDark.blue, 0.6});
  cairo_fill(cairo_);
}

void CairoCanvas::Clear() {
  cairo_save(cairo_);
  cairo_set_operator(cairo_, CAIRO_OPERATOR_CLEAR);
  cairo_paint(cairo_);
  cairo_restore(cairo_);
}

Status CairoCanvas::Finish() {
  cairo_surface_flush(surface_);
  if (const cairo_status_t status = cairo_status(cairo_); status != CAIRO_STATUS_SUCCESS) {
    return Error{ErrorKind::kInternal,
                 "cannot-draw",
                 std::string("the picture could not be drawn: ") + cairo_status_to_string(status) + ".",
                 "Try again with more free memory."};
  }
  return Done{};
}

}  // namespace loftline
