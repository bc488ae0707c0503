// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/drawing_svg.h"
#include "report/encode_image.h"
#include "report/flight_picture.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/in_backdrop.h"
#include "report/page_sections.h"

#include <fmt/format.h>

namespace loftline {
namespace {

std::string AltText(const FlightResult& result) {
  std::string text =
      fmt::format("The clip's view of the flight with {} positions of the rocket in one picture, flying to the {}.",
                  result.seen_points,
                  result.flight.direction == Direction::kRight ? "right" : "left");
  if (result.flight.apogee_m)
    text += " Apogee at " + FormatEstimate(*result.flight.apogee_m, "m") + " above the launch point.";
  return text;
}

}  // namespace

Expected<std::string> PictureSection(const FlightResult& measured, const ClipTrack& pictures) {
  if (!pictures.backdrop) return std::string();
  const cv::Mat& luma = pictures.backdrop->luma;
  const FlightResult result = InBackdrop(measured, pictures);
  const std::optional<ShownRegion> region = FlightRegion(result, luma.cols, luma.rows, kLongestShown);
  const ShownRockets shown = PickRockets(result, pictures);
  const std::optional<cv::Mat> picture = region ? ComposeFlight(pictures, shown.rockets, *region) : std::nullopt;
  if (!picture) return std::string();
  const Expected<std::string> jpeg = EncodeJpeg(*picture);
  if (!jpeg) return jpeg.error();
  const std::string steps = shown.rockets.empty()
                                ? ""
                                : fmt::format("<span>○ the rocket every {} s, faint ones with raised contrast</span> ",
                                              FormatPlain(shown.step_s, 3));
  // On the page the picture is about 1000 units wide at most, so letters are placed a little larger than on the PNG.
  const double text_size = 1.25 * TextSizeFor(*region);
  // --unit is a thousandth of the picture's width: the style sheet sizes letters by it as the window narrows.
  return fmt::format(
      R"(<section class="picture" aria-labelledby="h-picture"><h2 id="h-picture">The flight in one picture</h2><figure>)"
      R"(<div class="frame{}" style="--across:{}px;--aspect:{:.4f}"><img src="{}" width="{}" height="{}" alt="{}">)"
      R"(<svg viewBox="0 0 {} {}" aria-hidden="true" style="--unit:{:.2f}px">{}</svg></div>)"
      R"(<figcaption><span class="key"><svg viewBox="0 0 34 8" aria-hidden="true"><path d="M1 4H33"/></svg>seen</span> )"
      R"(<span class="key"><svg viewBox="0 0 34 8" aria-hidden="true"><path stroke-dasharray="5 5" d="M1 4H33"/></svg>calculated</span> )"
      R"({}<span>• or a tick: where it was found</span> <span>◇ launch point</span> <span>scale: height above the launch point</span>)"
      R"(</figcaption></figure></section>)",
      region->shown_height() > region->shown_width() ? " tall" : "",
      region->shown_width(),
      static_cast<double>(region->shown_width()) / region->shown_height(),
      DataUri("image/jpeg", *jpeg),
      region->shown_width(),
      region->shown_height(),
      EscapeHtml(AltText(result)),
      region->shown_width(),
      region->shown_height(),
      region->shown_width() / 1000.0,
      DrawingAsSvg(DrawFlight(result, shown, *region, text_size), text_size),
      steps);
}

}  // namespace loftline
