// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/find_flight.h"
#include "tracker/link_paths.h"
#include "tracker/marked_places.h"
#include "tracker/patch_pool.h"
#include "tracker/path_choice.h"
#include "tracker/steady_view.h"

#include <cstddef>
#include <deque>
#include <optional>
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
  PathChoice choice;
};

// Which of all that moved is the rocket's flight. Tracklets come as they end; those that fly are kept as guesses, parts
// of one flight are put together, and the best one is looked at a second time.
class FlightChoice {
 public:
  FlightChoice(const FlightEvidence& evidence, double stored_per_real_s)
      : evidence_(evidence), stored_per_real_s_(stored_per_real_s) {}

  // ENDED: tracklets that ended since the last call. Times are real ones.
  void Judge(std::vector<Tracklet> ended, double now_s);
  // After the last frame, when all have ended. Refuses: "no-rocket", "path-ambiguous", "no-flight-through-marks",
  // "time-base-suspect".
  Expected<ChosenFlight> Choose(int frames);
  // After "path-ambiguous": the two paths that could not be told apart.
  const std::optional<PathChoice>& undecided() const { return undecided_; }

 private:
  void JudgeWaiting(double now_s);
  void Remember(FlightGuess guess, double now_s);
  void RememberSlowed(FlightGuess guess);
  bool IsSlowMotion();
  void ReachNewMarks();
  void ForgetWeakest();
  void Settle(FlightGuess* guess);
  bool KeepMarked();
  void SortGuesses();
  bool GoesThroughMarks(const FlightGuess& guess) const;
  PathChoice ChoiceOf(const FlightGuess& best) const;
  bool IsRival(const FlightGuess& best, const FlightGuess& other) const;
  bool LiesOnPath(const FlightGuess& flight, const FlightGuess& other) const;
  SeenPath Seen(const FlightGuess& guess) const;

  FlightEvidence evidence_;
  double stored_per_real_s_;
  std::size_t marks_reached_ = 0;  // seen marks that the guesses have been led to
  std::vector<Tracklet> waiting_;
  std::vector<FlightGuess> guesses_;       // best first
  std::vector<FlightGuess> beside_marks_;  // at the end: guesses that miss a mark
  std::optional<FlightGuess> slowed_;      // the best of what flies only in slow motion
  std::optional<PathChoice> undecided_;
};

}  // namespace loftline
