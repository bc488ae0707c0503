// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/find_flight.h"
#include "tracker/link_paths.h"
#include "tracker/marked_places.h"
#include "tracker/patch_pool.h"
#include "tracker/steady_view.h"

#include <deque>
#include <vector>

namespace loftline {

// What a choice is made from; all of it grows while the clip goes by.
struct FlightEvidence {
  const FlightRules& rules;
  const std::deque<Sightings>& history;
  const PatchPool& pool;
  const MarkedPlaces& marks;
  const SteadyView& view;
};

struct ChosenFlight {
  FlightGuess flight;
  double runner_up_ratio = 0.0;  // score of the second-best path over the best one's: 0 none, 1 a tie
};

// Which of all that moved is the rocket's flight. Tracklets come as they end; those that fly are kept as guesses, parts
// of one flight are put together, and the best one is looked at a second time.
class FlightChoice {
 public:
  FlightChoice(const FlightEvidence& evidence, double stored_per_real_s)
      : evidence_(evidence), stored_per_real_s_(stored_per_real_s) {}

  // ENDED: tracklets that ended since the last call. Times are real ones.
  void Judge(std::vector<Tracklet> ended, double now_s);
  // After the last frame, when all have ended. Refuses: "no-rocket", "path-ambiguous", "no-flight-through-marks".
  Expected<ChosenFlight> Choose(int frames);

 private:
  void Remember(FlightGuess guess, double now_s);
  void Settle(FlightGuess* guess);
  bool KeepMarked();
  void SortGuesses();
  const FlightGuess* Rival() const;
  bool LiesOnPath(const FlightGuess& flight, const FlightGuess& other) const;
  Error Ambiguous(const FlightGuess& best, const FlightGuess& rival) const;

  FlightEvidence evidence_;
  double stored_per_real_s_;
  std::vector<Tracklet> waiting_;
  std::vector<FlightGuess> guesses_;  // best first
};

}  // namespace loftline
