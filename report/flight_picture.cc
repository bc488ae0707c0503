// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_picture.h"

#include "report/cutout_mask.h"
#include "tracker/cutout_piece.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr double kTextShare = 0.0145;  // of the longer shown side
constexpr double kLeastTextSize = 11.0;
// Grey levels by which a body of a few pixels is told from its ground at a glance, and the most by which a fainter one
// is raised: beyond it, compression noise would be raised too.
constexpr double kPlainDifference = 30.0;
constexpr double kMostContrastGain = 3.0;

bool HasColour(const Cutout& picture) {
  return !picture.chroma_blue.empty() && !picture.chroma_red.empty();
}

cv::Rect HalfOf(const cv::Rect& rect) {
  return {rect.x / 2, rect.y / 2, rect.width / 2, rect.height / 2};
}

// ground += gain * mask * (over - ground)
void BlendPlane(const cv::Mat& over, const cv::Mat& mask, float gain, cv::Mat ground) {
  for (int y = 0; y < ground.rows; ++y) {
    const auto* from = over.ptr<std::uint8_t>(y);
    const auto* weight = mask.ptr<float>(y);
    auto* to = ground.ptr<std::uint8_t>(y);
    for (int x = 0; x < ground.cols; ++x) {
      const float blended = static_cast<float>(to[x]) + gain * weight[x] * static_cast<float>(from[x] - to[x]);
      to[x] = static_cast<std::uint8_t>(cvRound(std::clamp(blended, 0.0F, 255.0F)));
    }
  }
}

// What raises the contrast of a rocket that hardly differs from the sky behind it.
float ContrastGain(const Cutout& over, const Cutout& backdrop, const cv::Mat& mask) {
  cv::Mat difference;
  cv::absdiff(over.luma, backdrop.luma, difference);
  difference.convertTo(difference, CV_32F);
  const double weight = cv::sum(mask)[0];
  const double mean = weight > 0.0 ? difference.dot(mask) / weight : kPlainDifference;
  return static_cast<float>(std::clamp(kPlainDifference / std::max(mean, 1.0), 1.0, kMostContrastGain));
}

const TrackPoint* PointOfFrame(const Track& track, int frame) {
  const auto found = std::find_if(
      track.points.begin(), track.points.end(), [frame](const TrackPoint& point) { return point.frame == frame; });
  return found == track.points.end() || !found->at_px.allFinite() ? nullptr : &*found;
}

// Leaves of MASK what is above what has been TAKEN by the rockets before, and takes it: where two rockets come close,
// the soft edge of one must not veil the body of the other.
void TakeBest(cv::Mat mask, cv::Mat taken) {
  for (int y = 0; y < mask.rows; ++y) {
    auto* mine = mask.ptr<float>(y);
    auto* others = taken.ptr<float>(y);
    for (int x = 0; x < mask.cols; ++x) {
      if (mine[x] > others[x]) {
        others[x] = mine[x];
      } else {
        mine[x] = 0.0F;
      }
    }
  }
}

RocketPlace PlaceInside(const cv::Rect& piece, const TrackPoint* point) {
  if (point == nullptr) {
    return {{0.5 * piece.width, 0.5 * piece.height}, 0.25 * std::min(piece.width, piece.height)};
  }
  RocketPlace place;
  place.at = {point->at_px.x() - piece.x, point->at_px.y() - piece.y};
  place.reach_px = 6.0;
  if (!(point->length_px > 0.0)) return place;  // nor where it is not a number
  place.reach_px = std::max(place.reach_px, 0.5 * point->length_px);
  if (!std::isfinite(point->axis_deg)) return place;
  place.length_px = point->length_px;
  place.axis_rad = -point->axis_deg * CV_PI / 180.0;
  return place;
}

// TAKEN is as large as the canvas (CV_32F): how much of each pixel shows a rocket already.
void BlendCutout(
    const Cutout& cutout, const TrackPoint* point, const Cutout& backdrop, Cutout& canvas, const cv::Mat& taken) {
  const cv::Rect whole(cutout.top_left_px, cutout.luma.size());
  cv::Rect inside = whole & cv::Rect(cv::Point(0, 0), canvas.luma.size());
  inside.width -= inside.width % 2;
  inside.height -= inside.height % 2;
  if (inside.empty() || inside.x % 2 != 0 || inside.y % 2 != 0 || HasColour(cutout) != HasColour(canvas)) return;
  const Cutout over = PieceOf(cutout, inside - cutout.top_left_px);
  const Cutout behind = PieceOf(backdrop, inside);
  const cv::Mat mask = RocketMask(over, behind, PlaceInside(inside, point));
  TakeBest(mask, taken(inside));
  BlendPlane(over.luma, mask, ContrastGain(over, behind, mask), canvas.luma(inside));
  if (!HasColour(canvas)) return;
  cv::Mat half_mask;
  cv::resize(mask, half_mask, over.chroma_blue.size(), 0.0, 0.0, cv::INTER_AREA);
  BlendPlane(over.chroma_blue, half_mask, 1.0F, canvas.chroma_blue(HalfOf(inside)));
  BlendPlane(over.chroma_red, half_mask, 1.0F, canvas.chroma_red(HalfOf(inside)));
}

cv::Mat Resized(const cv::Mat& plane, const cv::Size& size) {
  if (plane.size() == size) return plane;
  cv::Mat resized;
  cv::resize(plane, resized, size, 0.0, 0.0, plane.cols > size.width ? cv::INTER_AREA : cv::INTER_LINEAR);
  return resized;
}

// ITU-R BT.709, 8 bits. Chroma keeps its video range of 224 levels, so that it counts 255/224 beside full-range luma.
// 16 fractional bits, which may be cut: they are far finer than a grey level.
constexpr double kChromaGain = 255.0 / 224.0;
constexpr int Fixed(double factor) {
  return static_cast<int>(factor * kChromaGain * 65536.0);
}
constexpr int kRedFromRed = Fixed(1.5748);
constexpr int kGreenFromBlue = Fixed(0.1873);
constexpr int kGreenFromRed = Fixed(0.4681);
constexpr int kBlueFromBlue = Fixed(1.8556);

std::uint8_t Clamped(int value) {
  return static_cast<std::uint8_t>(std::clamp(value, 0, 255));
}

void ColourRow(
    const std::uint8_t* luma, const std::uint8_t* blue, const std::uint8_t* red, int columns, std::uint8_t* to) {
  constexpr int kRound = 1 << 15;
  for (int x = 0; x < columns; ++x) {
    const int y = luma[x];
    const int u = blue[x] - 128;
    const int v = red[x] - 128;
    to[4 * x] = Clamped(y + ((kBlueFromBlue * u + kRound) >> 16));
    to[4 * x + 1] = Clamped(y - ((kGreenFromBlue * u + kGreenFromRed * v + kRound) >> 16));
    to[4 * x + 2] = Clamped(y + ((kRedFromRed * v + kRound) >> 16));
    to[4 * x + 3] = 255;
  }
}

}  // namespace

double TextSizeFor(const ShownRegion& region) {
  return std::max(kLeastTextSize, kTextShare * std::max(region.shown_width(), region.shown_height()));
}

cv::Mat BgraFromPlanes(const cv::Mat& luma, const cv::Mat& chroma_blue, const cv::Mat& chroma_red) {
  cv::Mat bgra(luma.size(), CV_8UC4);
  const bool grey = chroma_blue.empty() || chroma_red.empty();
  const cv::Mat neutral = grey ? cv::Mat(luma.size(), CV_8UC1, cv::Scalar(128)) : cv::Mat();
  const cv::Mat blue = grey ? neutral : Resized(chroma_blue, luma.size());
  const cv::Mat red = grey ? neutral : Resized(chroma_red, luma.size());
  for (int y = 0; y < luma.rows; ++y) {
    ColourRow(luma.ptr<std::uint8_t>(y),
              blue.ptr<std::uint8_t>(y),
              red.ptr<std::uint8_t>(y),
              luma.cols,
              bgra.ptr<std::uint8_t>(y));
  }
  return bgra;
}

std::optional<cv::Mat> ComposeFlight(const ClipTrack& pictures,
                                     const std::vector<ShownRocket>& rockets,
                                     const ShownRegion& region) {
  if (!pictures.backdrop || pictures.backdrop->luma.empty()) return std::nullopt;
  const Cutout& backdrop = *pictures.backdrop;
  const cv::Rect crop(region.left_px, region.top_px, region.width_px, region.height_px);
  if ((crop & cv::Rect(cv::Point(0, 0), backdrop.luma.size())) != crop) return std::nullopt;
  Cutout canvas = backdrop;
  canvas.luma = backdrop.luma.clone();
  canvas.chroma_blue = backdrop.chroma_blue.clone();
  canvas.chroma_red = backdrop.chroma_red.clone();
  const cv::Mat taken = cv::Mat::zeros(canvas.luma.size(), CV_32F);
  for (const Cutout& cutout : pictures.cutouts) {
    const auto is_shown = [&cutout](const ShownRocket& rocket) { return rocket.frame == cutout.frame; };
    if (std::none_of(rockets.begin(), rockets.end(), is_shown)) continue;
    BlendCutout(cutout, PointOfFrame(pictures.in_backdrop, cutout.frame), backdrop, canvas, taken);
  }
  const Cutout piece = PieceOf(canvas, crop);
  const cv::Size shown(region.shown_width(), region.shown_height());
  if (!HasColour(piece)) return BgraFromPlanes(Resized(piece.luma, shown), {}, {});
  return BgraFromPlanes(
      Resized(piece.luma, shown), Resized(piece.chroma_blue, shown), Resized(piece.chroma_red, shown));
}

Error NoPicture() {
  return Error{ErrorKind::kRefused,
               "no-picture",
               "there is no picture of this flight to draw on.",
               "Track the clip itself; a track file holds no pictures."};
}

Error NoFlight() {
  return Error{ErrorKind::kRefused,
               "no-flight",
               "no flight was found, so no part of the picture may be shown.",
               "Read the findings and film the flight again."};
}

}  // namespace loftline
