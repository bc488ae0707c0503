// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "report/flight_drawing.h"

#include <span>
#include <string>
#include <vector>

#include <Eigen/Geometry>

namespace loftline {

// Finds room for the words of a drawing: each tag goes beside its anchor where it covers least of the path, of other
// tags and of the picture's edge.
class TagPlacer {
 public:
  TagPlacer(double shown_width, double shown_height, double text_size)
      : picture_(Eigen::Vector2d(0, 0), Eigen::Vector2d(shown_width, shown_height)), text_size_(text_size) {}

  void KeepClear(const Eigen::Vector2d& at) { keep_clear_.push_back(at); }
  // To the right of AT or to its left, on the same level.
  FlightDrawing::Tag PlaceLevel(std::string text, const Eigen::Vector2d& at, bool minor);
  // CLEAR: the tag stands outside a ring of this radius around BESIDE.
  FlightDrawing::Tag Place(std::string text, const Eigen::Vector2d& beside, bool minor, double clear = 0.0);

 private:
  struct Spot;
  FlightDrawing::Tag PlaceAtOneOf(std::span<const Spot> spots, FlightDrawing::Tag tag, double clear);
  Eigen::AlignedBox2d BoxOf(const FlightDrawing::Tag& tag) const;
  double Cost(const Eigen::AlignedBox2d& box) const;

  Eigen::AlignedBox2d picture_;
  double text_size_;
  std::vector<Eigen::Vector2d> keep_clear_;
  std::vector<Eigen::AlignedBox2d> taken_;
};

}  // namespace loftline
