// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"
#include "report/shown_rockets.h"

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// The part of the upright picture that is shown, and how large. "shown" coordinates: x right, y down, (0, 0) the outer
// corner of the shown picture's top-left pixel, as SVG and Cairo have it.
struct ShownRegion {
  int left_px = 0, top_px = 0, width_px = 0, height_px = 0;  // in the clip's picture; even numbers
  double scale = 1.0;                                        // shown pixels per picture pixel, at most 1

  int shown_width() const;
  int shown_height() const;
  Eigen::Vector2d ShownFromPx(const Eigen::Vector2d& in_px) const {
    return scale * Eigen::Vector2d(in_px.x() + 0.5 - left_px, in_px.y() + 0.5 - top_px);
  }
};

// Around the flight, its launch point and its baselines, with a margin, inside the picture; everything else stays
// private. LONGEST is the most that the longer shown side may have. Nothing where nothing of a flight is known.
std::optional<ShownRegion> FlightRegion(const FlightResult& result,
                                        int picture_width_px,
                                        int picture_height_px,
                                        int longest);

// What is drawn over a picture of the flight, in shown coordinates; SVG and Cairo draw the same list.
struct FlightDrawing {
  enum class Line { kSeen, kCalculated, kBaseline, kRuler, kTick };
  enum class Mark { kSeenPoint, kRocket, kLaunch, kApogee };
  enum class Anchor { kStart, kMiddle, kEnd };
  struct Stroke {
    Line line;
    std::vector<Eigen::Vector2d> points;
  };
  struct Placed {
    Mark mark;
    Eigen::Vector2d at;
    double radius = 0.0;  // of the ring around a rocket
  };
  struct Tag {
    std::string text;
    Eigen::Vector2d at;  // on the baseline of the text
    Anchor anchor = Anchor::kStart;
    bool minor = false;  // may be left out where room is short
  };
  std::vector<Stroke> strokes;
  std::vector<Placed> marks;
  std::vector<Tag> tags;
};

// TEXT_SIZE is the height of the letters in shown pixels, for placing the tags clear of each other and the edges.
// Lines and dots leave the rockets of SHOWN free.
FlightDrawing DrawFlight(const FlightResult& result,
                         const ShownRockets& shown,
                         const ShownRegion& region,
                         double text_size);

}  // namespace loftline
