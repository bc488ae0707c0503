// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/find_flight.h"
#include "tracker/link_paths.h"
#include "tracker/track_clip.h"

#include <cstddef>
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
  // FRAME has a mark, but it is not known where the camera pointed: the track holds it, the path is not judged by it.
  void SeenWithoutPlace(int frame, double time_s);
  std::size_t seen() const { return seen_.size(); }
  // A mark on a frame that the clip of so many FRAMES does not have.
  std::optional<int> FirstBeyond(int frames) const;

  // Where the rocket should be on FRAME in its own pixels, between the first and the last of three marks or more.
  std::optional<Eigen::Vector2d> Between(int frame) const;

  // How a guess fits the marks seen so far. kAhead: it leads to all of them, but all lie before or after its time, by
  // how much more the less surely. kThrough: all, and it holds at least one.
  enum class Fit { kMisses, kAhead, kThrough };
  Fit FitOf(const FlightGuess& guess, const FlightRules& rules) const;
  // The path once more, through the marks outside the guess's time too; as it was where none is.
  void LeadThrough(FlightGuess* guess, const FlightRules& rules) const;
  // Puts the marks among the guess's points.
  void AddTo(std::vector<Candidate>* points) const;
  // The flight through five marks, or through three and what was seen between them, however little that looks like a
  // flight.
  std::optional<FlightGuess> FlightThrough(const std::deque<Sightings>& history, const FlightRules& rules) const;
  // Puts the marks into a track of own pixels, exactly: state flight, one pixel of uncertainty each way.
  void PutInto(Track* track) const;

 private:
  struct SeenMark {
    int frame = 0;
    double time_s = 0.0;
    bool placed = true;   // false: its place in the first frame's pixels is not known
    Candidate candidate;  // in the first frame's pixels
  };
  std::vector<SeenMark> Placed() const;

  std::vector<MarkedPlace> marked_;  // by frame
  std::vector<SeenMark> seen_;       // by frame
};

}  // namespace loftline
