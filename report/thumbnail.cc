// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/thumbnail.h"

#include "report/drawing_cairo.h"
#include "report/encode_image.h"
#include "report/flight_picture.h"
#include "report/in_backdrop.h"

#include <algorithm>

namespace loftline {
namespace {

constexpr double kTextSize = 24.0;  // sets the width of lines and marks; nothing is written

// Path and launch point alone: there is no room for more.
FlightDrawing PathAlone(FlightDrawing drawing) {
  std::erase_if(drawing.strokes, [](const FlightDrawing::Stroke& stroke) {
    return stroke.line != FlightDrawing::Line::kSeen && stroke.line != FlightDrawing::Line::kCalculated;
  });
  std::erase_if(drawing.marks,
                [](const FlightDrawing::Placed& placed) { return placed.mark != FlightDrawing::Mark::kLaunch; });
  drawing.tags.clear();
  return drawing;
}

}  // namespace

Expected<std::string> ThumbnailJpeg(const FlightResult& measured, const ClipTrack& pictures) {
  if (!pictures.backdrop || pictures.backdrop->luma.empty()) return NoPicture();
  const cv::Mat& luma = pictures.backdrop->luma;
  const FlightResult result = InBackdrop(measured, pictures);
  std::optional<ShownRegion> region = FlightRegion(result, luma.cols, luma.rows, kThumbnailWidth);
  if (region) region->scale = std::min(region->scale, static_cast<double>(kThumbnailHeight) / region->height_px);
  std::optional<cv::Mat> picture = region ? ComposeFlight(pictures, {}, *region) : std::nullopt;
  if (!picture) return NoFlight();
  const FlightDrawing drawing = PathAlone(DrawFlight(result, {}, *region, kTextSize));
  if (Status drawn = DrawOverPicture(drawing, kTextSize, *picture); !drawn) return drawn.error();
  return EncodeJpeg(*picture);
}

}  // namespace loftline
