// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_drawing.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

namespace loftline {
namespace {

constexpr double kMarginShare = 0.06;  // of the longer side
constexpr double kLeastMargin_px = 40.0;

int EvenDown(double value) {
  return static_cast<int>(std::floor(value / 2.0)) * 2;
}

class Extent {
 public:
  Extent(int width_px, int height_px) : picture_(Eigen::Vector2d(0, 0), Eigen::Vector2d(width_px - 1, height_px - 1)) {}

  void Add(const Eigen::Vector2d& in_px) {
    if (in_px.allFinite() && picture_.contains(in_px)) box_.extend(in_px);
  }
  const Eigen::AlignedBox2d& box() const { return box_; }

 private:
  Eigen::AlignedBox2d picture_;
  Eigen::AlignedBox2d box_;
};

}  // namespace

int ShownRegion::shown_width() const {
  return std::max(1, static_cast<int>(std::lround(width_px * scale)));
}
int ShownRegion::shown_height() const {
  return std::max(1, static_cast<int>(std::lround(height_px * scale)));
}

std::optional<ShownRegion> FlightRegion(const FlightResult& result,
                                        int picture_width_px,
                                        int picture_height_px,
                                        int longest) {
  Extent flight(picture_width_px, picture_height_px);
  for (const PathSample& sample : result.path) flight.Add(sample.in_px);
  for (const FittedPoint& point : result.points) {
    if (point.used) flight.Add(point.seen_in_px);
  }
  // Marks alone are no flight: without one there is nothing that a picture may show.
  if (flight.box().isEmpty()) return std::nullopt;
  if (result.survey.launch.px) flight.Add(*result.survey.launch.px);
  for (const Mark& mark : result.survey.marks) {
    if (const auto* baseline = std::get_if<BaselineMark>(&mark)) {
      flight.Add(baseline->from_px);
      flight.Add(baseline->to_px);
    }
  }
  const Eigen::AlignedBox2d& box = flight.box();
  const double margin_px = std::max(kLeastMargin_px, kMarginShare * box.sizes().maxCoeff());
  ShownRegion region;
  region.left_px = EvenDown(std::max(0.0, box.min().x() - margin_px));
  region.top_px = EvenDown(std::max(0.0, box.min().y() - margin_px));
  region.width_px = EvenDown(std::min<double>(picture_width_px, box.max().x() + margin_px)) - region.left_px;
  region.height_px = EvenDown(std::min<double>(picture_height_px, box.max().y() + margin_px)) - region.top_px;
  if (region.width_px < 2 || region.height_px < 2) return std::nullopt;
  region.scale = std::min(1.0, static_cast<double>(longest) / std::max(region.width_px, region.height_px));
  return region;
}

}  // namespace loftline
