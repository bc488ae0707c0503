// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/paper_drawing.h"

#include "report/encode_image.h"
#include "report/html_text.h"

#include <cairo.h>
#include <cmath>
#include <memory>
#include <numbers>
#include <utility>

#include <fmt/format.h>
#include <opencv2/core.hpp>

namespace loftline {
namespace {

constexpr double kWordsEdge = 0.3;  // of the letters' size
constexpr double kDash = 6.0, kGap = 5.0;

std::string Colour(const PaperInk& ink) {
  const auto byte = [](double part) { return static_cast<int>(std::lround(255.0 * part)); };
  return fmt::format("#{:02x}{:02x}{:02x}", byte(ink.red), byte(ink.green), byte(ink.blue));
}

std::string InkAsSvg(const char* what, const PaperInk& ink) {
  if (!(ink.alpha > 0.0)) return fmt::format(R"( {}="none")", what);
  if (ink.alpha >= 1.0) return fmt::format(R"( {}="{}")", what, Colour(ink));
  return fmt::format(R"( {0}="{1}" {0}-opacity="{2:.3g}")", what, Colour(ink), ink.alpha);
}

std::string AsSvg(const PaperShape& shape) {
  std::string data;
  for (const Eigen::Vector2d& point : shape.points) {
    data += fmt::format("{}{:.2f} {:.2f}", data.empty() ? "M" : "L", point.x(), point.y());
  }
  if (shape.closed) data += "z";
  std::string svg =
      fmt::format(R"(<path d="{}"{}{})", data, InkAsSvg("fill", shape.fill), InkAsSvg("stroke", shape.line));
  if (shape.line.alpha > 0.0) svg += fmt::format(R"( stroke-width="{:.3g}")", shape.line_width);
  if (shape.dashed) svg += fmt::format(R"( stroke-dasharray="{:g} {:g}")", kDash, kGap);
  return svg + "/>\n";
}

const char* AnchorName(PaperWords::Anchor anchor) {
  switch (anchor) {
    case PaperWords::Anchor::kStart:
      return "start";
    case PaperWords::Anchor::kMiddle:
      return "middle";
    case PaperWords::Anchor::kEnd:
      return "end";
  }
  return "start";
}

std::string AsSvg(const PaperWords& words) {
  const std::string place =
      words.upwards
          ? fmt::format(R"svg(transform="translate({:.2f} {:.2f}) rotate(-90)")svg", words.at.x(), words.at.y())
          : fmt::format(R"(x="{:.2f}" y="{:.2f}")", words.at.x(), words.at.y());
  return fmt::format(R"(<text {} font-size="{:.3g}" text-anchor="{}"{}{} stroke-width="{:.3g}">{}</text>)"
                     "\n",
                     place,
                     words.size,
                     AnchorName(words.anchor),
                     InkAsSvg("fill", words.ink),
                     words.bold ? R"( font-weight="bold")" : "",
                     kWordsEdge * words.size,
                     EscapeHtml(words.text));
}

// Cairo over the pixels of a picture that outlives it.
class PaperCanvas {
 public:
  PaperCanvas(cv::Mat& picture, double pixels)
      : surface_(cairo_image_surface_create_for_data(
                     picture.data, CAIRO_FORMAT_ARGB32, picture.cols, picture.rows, static_cast<int>(picture.step[0])),
                 cairo_surface_destroy),
        cairo_(cairo_create(surface_.get()), cairo_destroy) {
    cairo_scale(cairo_.get(), pixels, pixels);
    cairo_set_line_cap(cairo_.get(), CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(cairo_.get(), CAIRO_LINE_JOIN_ROUND);
  }

  void Draw(const PaperShape& shape) {
    cairo_new_path(cairo_.get());
    for (const Eigen::Vector2d& point : shape.points) cairo_line_to(cairo_.get(), point.x(), point.y());
    if (shape.closed) cairo_close_path(cairo_.get());
    if (shape.fill.alpha > 0.0) {
      Use(shape.fill);
      cairo_fill_preserve(cairo_.get());
    }
    if (!(shape.line.alpha > 0.0)) return;
    const double dashes[] = {kDash, kGap};
    cairo_set_dash(cairo_.get(), dashes, shape.dashed ? 2 : 0, 0.0);
    cairo_set_line_cap(cairo_.get(), shape.dashed ? CAIRO_LINE_CAP_BUTT : CAIRO_LINE_CAP_ROUND);
    cairo_set_line_width(cairo_.get(), shape.line_width);
    Use(shape.line);
    cairo_stroke(cairo_.get());
  }

  void Draw(const PaperWords& words) {
    cairo_select_font_face(cairo_.get(),
                           "DejaVu Sans",
                           CAIRO_FONT_SLANT_NORMAL,
                           words.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(cairo_.get(), words.size);
    cairo_text_extents_t extents;
    cairo_text_extents(cairo_.get(), words.text.c_str(), &extents);
    const double back = words.anchor == PaperWords::Anchor::kStart    ? 0.0
                        : words.anchor == PaperWords::Anchor::kMiddle ? 0.5 * extents.x_advance
                                                                      : extents.x_advance;
    cairo_save(cairo_.get());
    cairo_translate(cairo_.get(), words.at.x(), words.at.y());
    if (words.upwards) cairo_rotate(cairo_.get(), -0.5 * std::numbers::pi);
    cairo_move_to(cairo_.get(), -back, 0.0);
    cairo_text_path(cairo_.get(), words.text.c_str());
    cairo_set_dash(cairo_.get(), nullptr, 0, 0.0);
    cairo_set_line_width(cairo_.get(), kWordsEdge * words.size);
    Use({1.0, 1.0, 1.0, 1.0});
    cairo_stroke_preserve(cairo_.get());
    Use(words.ink);
    cairo_fill(cairo_.get());
    cairo_restore(cairo_.get());
  }

  Status Finish() {
    cairo_surface_flush(surface_.get());
    if (const cairo_status_t status = cairo_status(cairo_.get()); status != CAIRO_STATUS_SUCCESS) {
      return Error{ErrorKind::kInternal,
                   "cannot-draw",
                   std::string("the picture could not be drawn: ") + cairo_status_to_string(status) + ".",
                   "Try again with more free memory."};
    }
    return Done{};
  }

 private:
  void Use(const PaperInk& ink) { cairo_set_source_rgba(cairo_.get(), ink.red, ink.green, ink.blue, ink.alpha); }

  std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)> surface_;
  std::unique_ptr<cairo_t, void (*)(cairo_t*)> cairo_;
};

}  // namespace

void PaperDrawing::Circle(
    const Eigen::Vector2d& middle, double radius, const PaperInk& fill, const PaperInk& line, double line_width) {
  PaperShape shape;
  constexpr int kCorners = 32;  // round enough at the few pixels of a mark
  for (int i = 0; i < kCorners; ++i) {
    const double angle_rad = 2.0 * std::numbers::pi * i / kCorners;
    shape.points.emplace_back(middle + radius * Eigen::Vector2d(std::cos(angle_rad), std::sin(angle_rad)));
  }
  shape.closed = true;
  shape.fill = fill;
  shape.line = line;
  shape.line_width = line_width;
  items.emplace_back(std::move(shape));
}

std::string PaperAsSvg(const PaperDrawing& drawing) {
  std::string svg = fmt::format(
      R"(<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0:.0f} {1:.0f}" width="{0:.0f}" height="{1:.0f}" role="img" aria-label="{2}">)"
      "\n"
      R"(<style>text {{ font-family: "DejaVu Sans", Verdana, sans-serif; stroke: #fff; stroke-linejoin: round; paint-order: stroke; }} path {{ stroke-linecap: round; stroke-linejoin: round; }} path[stroke-dasharray] {{ stroke-linecap: butt; }}</style>)"
      "\n"
      R"(<rect width="{0:.0f}" height="{1:.0f}" fill="#fff"/>)"
      "\n",
      drawing.width,
      drawing.height,
      EscapeHtml(drawing.described));
  for (const auto& item : drawing.items) svg += std::visit([](const auto& each) { return AsSvg(each); }, item);
  return svg + "</svg>\n";
}

Expected<std::string> PaperAsPng(const PaperDrawing& drawing, double pixels) {
  cv::Mat picture(static_cast<int>(std::ceil(pixels * drawing.height)),
                  static_cast<int>(std::ceil(pixels * drawing.width)),
                  CV_8UC4,
                  cv::Scalar(255, 255, 255, 255));
  PaperCanvas canvas(picture, pixels);
  for (const auto& item : drawing.items) std::visit([&](const auto& each) { canvas.Draw(each); }, item);
  if (Status status = canvas.Finish(); !status) return status.error();
  return EncodePng(picture);
}

}  // namespace loftline
