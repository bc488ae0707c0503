// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/answers.h"
#include "report/encode_image.h"
#include "report/flight_picture.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/page_sections.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr std::size_t kMostCutouts = 12;
constexpr int kTileWidth = 144, kTileHeight = 84;
constexpr double kBodyShareOfTile = 0.62;
constexpr double kMostZoom = 5.0;

struct Turned {
  const BodyAngle* angle = nullptr;
  const Cutout* cutout = nullptr;
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();  // in the cut-out's pixels
  double length_px = 0.0;
};

// Frames with an angle, a position and a cut-out; all three lists are by frame.
std::vector<Turned> Showable(const FlightResult& result, const ClipTrack& pictures) {
  std::vector<Turned> all;
  for (const BodyAngle& angle : result.straightness.angles) {
    const auto cutout = std::lower_bound(
        pictures.cutouts.begin(), pictures.cutouts.end(), angle.frame, [](const Cutout& each, int frame) {
          return each.frame < frame;
        });
    const auto point = std::lower_bound(pictures.in_backdrop.points.begin(),
                                        pictures.in_backdrop.points.end(),
                                        angle.frame,
                                        [](const TrackPoint& each, int frame) { return each.frame < frame; });
    if (!angle.believed || cutout == pictures.cutouts.end() || cutout->frame != angle.frame) continue;
    if (point == pictures.in_backdrop.points.end() || point->frame != angle.frame) continue;
    all.push_back({&angle, &*cutout, point->at_px, point->length_px});
  }
  return all;
}

// Those nearest to equally spaced times.
std::vector<Turned> EquallySpaced(const std::vector<Turned>& all) {
  if (all.size() <= kMostCutouts) return all;
  std::vector<Turned> chosen;
  const double first_s = all.front().angle->time_s, last_s = all.back().angle->time_s;
  for (std::size_t i = 0; i < kMostCutouts; ++i) {
    const double wanted_s = first_s + (last_s - first_s) * static_cast<double>(i) / (kMostCutouts - 1);
    const auto nearest = std::min_element(all.begin(), all.end(), [&](const Turned& a, const Turned& b) {
      return std::abs(a.angle->time_s - wanted_s) < std::abs(b.angle->time_s - wanted_s);
    });
    if (chosen.empty() || chosen.back().angle != nearest->angle) chosen.push_back(*nearest);
  }
  return chosen;
}

// The body in the middle, its velocity pointing right.
cv::Mat Tile(const Turned& turned, double zoom) {
  const Cutout& cutout = *turned.cutout;
  const cv::Mat picture = BgraFromPlanes(cutout.luma, cutout.chroma_blue, cutout.chroma_red);
  const cv::Point2f middle(static_cast<float>(turned.at_px.x() - cutout.top_left_px.x),
                           static_cast<float>(turned.at_px.y() - cutout.top_left_px.y));
  // OpenCV turns anticlockwise for positive angles, as our own angles are counted.
  cv::Mat tile_from_cutout = cv::getRotationMatrix2D(middle, -turned.angle->path_deg, zoom);
  tile_from_cutout.at<double>(0, 2) += 0.5 * (kTileWidth - 1) - static_cast<double>(middle.x);
  tile_from_cutout.at<double>(1, 2) += 0.5 * (kTileHeight - 1) - static_cast<double>(middle.y);
  cv::Mat tile;
  cv::warpAffine(picture, tile, tile_from_cutout, {kTileWidth, kTileHeight}, cv::INTER_CUBIC, cv::BORDER_REPLICATE);
  return tile;
}

Expected<std::string> CutoutFigures(const FlightResult& result, const ClipTrack& pictures) {
  const std::vector<Turned> chosen = EquallySpaced(Showable(result, pictures));
  if (chosen.empty()) return std::string();
  double longest_px = 1.0;
  for (const Turned& turned : chosen) longest_px = std::max(longest_px, turned.length_px);
  const double zoom = std::min(kMostZoom, kBodyShareOfTile * kTileWidth / longest_px);
  std::string figures;
  for (const Turned& turned : chosen) {
    const Expected<std::string> jpeg = EncodeJpeg(Tile(turned, zoom));
    if (!jpeg) return jpeg.error();
    const std::string time = FormatNumber(turned.angle->time_s, 2);
    figures += fmt::format(R"(<figure><img src="{}" width="{}" height="{}" alt="The body {} s after launch, {}° off )"
                           R"(its path."><figcaption>{} s</figcaption></figure>)",
                           DataUri("image/jpeg", *jpeg),
                           kTileWidth,
                           kTileHeight,
                           time,
                           FormatNumber(turned.angle->angle_deg.value, 0),
                           time);
  }
  return fmt::format(
      R"(<div class="cutouts">{}</div><p class="hint">Cut-outs along the flight, each turned so that the )"
      R"(rocket flies to the right.</p>)",
      figures);
}

}  // namespace

Expected<std::string> StraightnessSection(const FlightResult& result, const ClipTrack& pictures) {
  if (result.verdict == Verdict::kRefused) return std::string();
  const Expected<std::string> cutouts = CutoutFigures(result, pictures);
  if (!cutouts) return cutouts.error();
  const std::optional<Plot> plot = AnglePlot(result);
  if (!plot) return std::string();
  return fmt::format(
      R"(<section class="straightness" aria-labelledby="h-straight"><h2 id="h-straight">How straight it flew</h2>)"
      R"(<div class="straight-grid"><div><p class="told">{}</p>{}</div>{}</div></section>)",
      EscapeHtml(StraightnessSentence(result.straightness)),
      *cutouts,
      PlotFigure(*plot));
}

}  // namespace loftline
