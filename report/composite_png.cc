// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/drawing_cairo.h"
#include "report/encode_image.h"
#include "report/flight_picture.h"
#include "report/in_backdrop.h"
#include "report/write_report.h"

namespace loftline {

Expected<std::string> CompositePng(const FlightResult& measured, const ClipTrack& pictures) {
  if (!pictures.backdrop || pictures.backdrop->luma.empty()) return NoPicture();
  const cv::Mat& luma = pictures.backdrop->luma;
  const FlightResult result = InBackdrop(measured, pictures);
  const std::optional<ShownRegion> region = FlightRegion(result, luma.cols, luma.rows, kLongestShown);
  const ShownRockets shown = PickRockets(result, pictures);
  std::optional<cv::Mat> picture = region ? ComposeFlight(pictures, shown.rockets, *region) : std::nullopt;
  if (!picture) return NoFlight();
  const double text_size = TextSizeFor(*region);
  if (Status drawn = DrawOverPicture(DrawFlight(result, shown, *region, text_size), text_size, *picture); !drawn) {
    return drawn.error();
  }
  return EncodePng(*picture);
}

}  // namespace loftline
