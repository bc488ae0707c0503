// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/ballistic_path.h"
#include "tracker/link_paths.h"
#include "tracker/track.h"

#include <deque>
#include <memory>
#include <optional>
#include <vector>

namespace loftline {

// A tracklet that turned out to move like something thrown: a flight that may be the rocket's.
struct FlightGuess {
  std::vector<Candidate> points;  // in order, one a frame
  std::vector<Candidate> linked;  // the candidates that it was found from
  PathFit fit;
  double own_score = 0.0;    // pixels travelled, discounted for gaps, misfit and few points
  bool from_launch = false;  // leads back to the marked launch point
  double score = 0.0;        // by which it is chosen: discounted where it does not come from the launch point
  Track track;         // the points with their states, once labelled (label_points.h), in their own frames' pixels
  Track steady_track;  // the same in the first frame's pixels
  double changed_s = 0.0;
  bool settled = false;  // looked at again and labelled since it changed
  std::shared_ptr<const Cutout> backdrop;
  // It flies, but so slowly that the clip must be slow motion, taken at about this rate (slow_motion.h).
  std::optional<double> capture_rate_hz;
};

struct FlightRules {
  PictureFrame picture;
  double believed_rate_hz = 0.0;  // the time stamps', where nobody said that frames were taken at another; else 0
  int width_px = 0;
  int height_px = 0;
  std::optional<Eigen::Vector2d> launch_px;
};

// Takes what is ballistic in the tracklet (people carry rockets before, and rockets lie still after), and follows the
// path through the history both ways. Nothing where nothing in it flies: it must travel far beside its own size, fall
// with a constant acceleration that stands well out of the misfit, and change its speed by much. What does all this
// in slow motion is told by the guess's capture_rate_hz, and given only where nothing flies as fast as it should.
std::optional<FlightGuess> FindFlight(const Tracklet& tracklet,
                                      const std::deque<Sightings>& history,
                                      const FlightRules& rules);

// Sets FROM_LAUNCH and SCORE by what is known of the launch point now.
void RateByLaunch(FlightGuess* guess, const FlightRules& rules);

// One flight from two guesses of parts of it, where one begins after the other has ended and a single path passes
// through both. The points as linked; nothing where they are two flights.
std::optional<FlightGuess> Joined(const FlightGuess& a, const FlightGuess& b, const FlightRules& rules);

// A leaf, or something that fell from a hand: it is first seen in the midst of the picture, and already falls. A launch
// rises first, or comes into the picture from outside.
bool OnlyFalls(const FlightGuess& guess, const FlightRules& rules);

}  // namespace loftline
