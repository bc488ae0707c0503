// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/find_flight.h"
#include "tracker/link_paths.h"
#include "tracker/track_clip.h"

#include <deque>
#include <optional>
#include <vector>

namespace loftline {

// Where a person saw the rocket on some frames. What is marked is believed: the flight goes through these places, and
// the track holds them as they were given.
class MarkedPlaces {
 public:
  explicit MarkedPlaces(const std::vector<MarkedPlace>& marked);

  bool empty() const { return marked_.empty(); }
  // The mark on FRAME, where there is one; in the frame's own pixels.
  const MarkedPlace* On(int frame) const;
  // FRAME, at TIME_S, shows its mark at AT_PX of the first frame. Puts it among the frame's candidates.
  void Seen(int frame, double time_s, const Eigen::Vector2d& at_px, std::vector<Candidate>* candidates);

  // Where the rocket should be on FRAME in its own pixels, between the first and the last of three marks or more.
  std::optional<Eigen::Vector2d> Between(int frame) const;

  // Whether the guess goes through all marks within its time, and holds at least one of them.
  bool LieOn(const FlightGuess& guess, const FlightRules& rules) const;
  // The flight through five marks, or through three and what was seen between them, however little that looks like a
  // flight.
  std::optional<FlightGuess> FlightThrough(const std::deque<Sightings>& history, const FlightRules& rules) const;
  // Puts the marks into a track of own pixels, exactly: state flight, one pixel of uncertainty each way.
  void PutInto(Track* track) const;

 private:
  struct SeenMark {
    int frame = 0;
    double time_s = 0.0;
    Candidate candidate;  // in the first frame's pixels
  };
  std::vector<MarkedPlace> marked_;  // by frame
  std::vector<SeenMark> seen_;
};

}  // namespace loftline
