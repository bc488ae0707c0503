// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/tag_placer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace loftline {
namespace {

using Anchor = FlightDrawing::Anchor;

// Mean advance of a letter in a wide, bold sans-serif face, in text sizes; only for keeping tags apart, so near enough
// will do.
constexpr double kLetterWidth = 0.68;
// A narrow page and paper set letters larger against the picture than it was laid out for; about as much.
constexpr double kRoom = 1.3;

std::size_t Letters(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U; }));
}

}  // namespace

// Where a tag may stand, in text sizes from its anchor to the text's own anchor.
struct TagPlacer::Spot {
  double dx, dy;
  Anchor anchor;

  // Which way it lies from the anchor.
  Eigen::Vector2d Away() const {
    if (anchor == Anchor::kMiddle) return {0.0, dy < 0.0 ? -1.0 : 1.0};
    const double sideways = dx < 0.0 ? -1.0 : 1.0;
    if (std::abs(dy) < 0.5) return {sideways, 0.0};
    return Eigen::Vector2d(sideways, dy < 0.0 ? -1.0 : 1.0).normalized();
  }
};

Eigen::AlignedBox2d TagPlacer::BoxOf(const FlightDrawing::Tag& tag) const {
  const double size = kRoom * text_size_;
  const double width = kLetterWidth * size * static_cast<double>(Letters(tag.text));
  const double left = tag.at.x() - (tag.anchor == Anchor::kStart    ? 0.0
                                    : tag.anchor == Anchor::kMiddle ? 0.5 * width
                                                                    : width);
  return {Eigen::Vector2d(left, tag.at.y() - 0.85 * size), Eigen::Vector2d(left + width, tag.at.y() + 0.3 * size)};
}

double TagPlacer::Cost(const Eigen::AlignedBox2d& box) const {
  const double inside = box.intersection(picture_).isEmpty() ? 0.0 : box.intersection(picture_).volume();
  double cost = inside < box.volume() * (1.0 - 1e-9) ? 5.0 + 20.0 * (1.0 - inside / box.volume()) : 0.0;
  for (const Eigen::AlignedBox2d& other : taken_) cost += box.intersects(other) ? 4.0 : 0.0;
  for (const Eigen::Vector2d& point : keep_clear_) cost += box.contains(point) ? 0.5 : 0.0;
  return cost;
}

FlightDrawing::Tag TagPlacer::PlaceAtOneOf(std::span<const Spot> spots, FlightDrawing::Tag tag, double clear) {
  const Eigen::Vector2d beside = tag.at;
  FlightDrawing::Tag best = tag;
  double least = std::numeric_limits<double>::infinity();
  for (const Spot& spot : spots) {
    tag.at = beside + text_size_ * Eigen::Vector2d(spot.dx, spot.dy) + clear * spot.Away();
    tag.anchor = spot.anchor;
    if (const double cost = Cost(BoxOf(tag)); cost < least) {
      least = cost;
      best = tag;
    }
  }
  taken_.push_back(BoxOf(best));
  return best;
}

FlightDrawing::Tag TagPlacer::Place(std::string text, const Eigen::Vector2d& beside, bool minor, double clear) {
  // Best liked first.
  static constexpr std::array<Spot, 14> kSpots{{{0.0, -0.9, Anchor::kMiddle},
                                                {0.0, 1.7, Anchor::kMiddle},
                                                {0.9, 0.35, Anchor::kStart},
                                                {-0.9, 0.35, Anchor::kEnd},
                                                {0.7, -0.7, Anchor::kStart},
                                                {-0.7, -0.7, Anchor::kEnd},
                                                {0.7, 1.5, Anchor::kStart},
                                                {-0.7, 1.5, Anchor::kEnd},
                                                {0.0, -2.2, Anchor::kMiddle},
                                                {0.0, 3.0, Anchor::kMiddle},
                                                {1.8, 0.35, Anchor::kStart},
                                                {-1.8, 0.35, Anchor::kEnd},
                                                {1.6, -1.6, Anchor::kStart},
                                                {-1.6, -1.6, Anchor::kEnd}}};
  return PlaceAtOneOf(kSpots, {std::move(text), beside, Anchor::kMiddle, minor}, clear);
}

FlightDrawing::Tag TagPlacer::PlaceLevel(std::string text, const Eigen::Vector2d& at, bool minor) {
  static constexpr std::array<Spot, 2> kSides{{{0.8, 0.35, Anchor::kStart}, {-0.8, 0.35, Anchor::kEnd}}};
  return PlaceAtOneOf(kSides, {std::move(text), at, Anchor::kStart, minor}, 0.0);
}

}  // namespace loftline
