// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/flight_choice.h"

#include "tracker/label_points.h"
#include "tracker/refine_flight.h"
#include "tracker/seen_alone.h"
#include "tracker/track_refusals.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace loftline {
namespace {

constexpr double kTieRatio = 0.6;       // a second path with this share of the best one's score is a rival
constexpr double kSettleSeconds = 1.2;  // a tracklet is judged so long after it ended: the path may come back into view
constexpr double kQuietSeconds = 0.5;   // a guess that has not changed for so long is whole
constexpr std::size_t kMostGuesses = 6;
constexpr std::size_t kMostWaiting = 64;

// Two guesses of one flight share points.
bool SameFlight(const FlightGuess& a, const FlightGuess& b) {
  std::size_t shared = 0;
  std::size_t j = 0;
  for (const Candidate& point : a.linked) {
    while (j < b.linked.size() && b.linked[j].frame < point.frame) ++j;
    if (j < b.linked.size() && b.linked[j].frame == point.frame && b.linked[j].body.at_px == point.body.at_px) ++shared;
  }
  return shared >= std::max<std::size_t>(2, std::min(a.linked.size(), b.linked.size()) / 4);
}

// A bounce begins where and when the flight ended; it is no second rocket.
bool Continues(const FlightGuess& flight, const FlightGuess& later, int longer_px) {
  const Candidate& end = flight.points.back();
  const Candidate& begin = later.points.front();
  return begin.time_s >= end.time_s - 0.05 && begin.time_s <= end.time_s + 0.6 &&
         (begin.body.at_px - end.body.at_px).norm() <= 0.08 * longer_px;
}

}  // namespace

void FlightChoice::Judge(std::vector<Tracklet> ended, double now_s) {
  for (Tracklet& tracklet : ended) waiting_.push_back(std::move(tracklet));
  if (waiting_.size() > kMostWaiting) {
    std::sort(waiting_.begin(), waiting_.end(), [](const Tracklet& a, const Tracklet& b) {
      return a.points.size() > b.points.size();
    });
    waiting_.resize(kMostWaiting);
  }
  std::vector<Tracklet> later;
  for (Tracklet& tracklet : waiting_) {
    if (tracklet.points.back().time_s + kSettleSeconds > now_s) {
      later.push_back(std::move(tracklet));
      continue;
    }
    std::optional<FlightGuess> guess = FindFlight(tracklet, evidence_.history, evidence_.rules);
    if (guess) Remember(std::move(*guess), now_s);
  }
  waiting_ = std::move(later);
  for (FlightGuess& guess : guesses_) {
    if (!guess.settled && guess.changed_s + kQuietSeconds < now_s) Settle(&guess);
  }
}

Expected<ChosenFlight> FlightChoice::Choose(int frames) {
  Judge({}, 1e18);
  if (!evidence_.marks.empty() && !KeepMarked()) return NoFlightThroughMarks();
  if (guesses_.empty()) {
    return frames < static_cast<int>(kFewestFlightPoints) ? ClipTooShort(frames) : NoRocketInClip();
  }
  if (!guesses_.front().settled) Settle(&guesses_.front());
  const FlightGuess& best = guesses_.front();
  const FlightGuess* rival = Rival();
  const double ratio = rival != nullptr ? rival->score / best.score : 0.0;
  if (ratio > kTieRatio) return Ambiguous(best, *rival);
  return ChosenFlight{best, ratio};
}

void FlightChoice::Remember(FlightGuess guess, double now_s) {
  guess.changed_s = now_s;
  for (FlightGuess& known : guesses_) {
    const bool same = SameFlight(known, guess);
    std::optional<FlightGuess> joined = same ? std::nullopt : Joined(known, guess, evidence_.rules);
    if (!same && !joined) continue;
    // The part that came first is known best before it is mixed with what came back into view, perhaps half seen.
    if (joined && !known.settled) {
      Settle(&known);
      joined = Joined(known, guess, evidence_.rules);
    }
    if (joined) {
      guess = *std::move(joined);
      guess.changed_s = now_s;
      guess.settled = false;
    }
    if (guess.score > known.score) {
      known = std::move(guess);
      SortGuesses();
    }
    return;
  }
  guesses_.push_back(std::move(guess));
  SortGuesses();
  if (guesses_.size() > kMostGuesses) guesses_.pop_back();
}

// A second look is dear, and wanted only of the best guess, or a marked one, once it is whole. It needs patches, and
// labelling the frames between the points, which are forgotten in the end; both are done while they are there.
void FlightChoice::Settle(FlightGuess* guess) {
  const bool marked = !evidence_.marks.empty() && evidence_.marks.LieOn(*guess, evidence_.rules);
  if (guess == &guesses_.front() || marked) {
    RefineFlight(guess, evidence_.pool, evidence_.rules);
    KeepSeenAlone(guess, evidence_.rules);
  }
  guess->steady_track = LabelPoints(*guess, evidence_.history, evidence_.rules);
  guess->track = guess->steady_track;
  evidence_.view.ToOwnPixels(&guess->track);
  guess->settled = true;
}

// Only guesses that go through all marks stay; false where none does.
bool FlightChoice::KeepMarked() {
  std::erase_if(guesses_, [this](const FlightGuess& guess) { return !evidence_.marks.LieOn(guess, evidence_.rules); });
  if (!guesses_.empty()) return true;
  std::optional<FlightGuess> guess = evidence_.marks.FlightThrough(evidence_.history, evidence_.rules);
  if (!guess || !evidence_.marks.LieOn(*guess, evidence_.rules)) return false;
  guesses_.push_back(*std::move(guess));
  return true;
}

void FlightChoice::SortGuesses() {
  std::sort(
      guesses_.begin(), guesses_.end(), [](const FlightGuess& a, const FlightGuess& b) { return a.score > b.score; });
}

const FlightGuess* FlightChoice::Rival() const {
  const int longer_px = std::max(evidence_.rules.width_px, evidence_.rules.height_px);
  const FlightGuess& best = guesses_.front();
  for (std::size_t i = 1; i < guesses_.size(); ++i) {
    if (Continues(best, guesses_[i], longer_px)) continue;
    if (LiesOnPath(best, guesses_[i]) || LiesOnPath(guesses_[i], best)) continue;
    return &guesses_[i];
  }
  return nullptr;
}

// Rise and fall of one flight, seen apart from each other, are no rivals.
bool FlightChoice::LiesOnPath(const FlightGuess& flight, const FlightGuess& other) const {
  std::vector<double> times_s;
  for (const Candidate& point : other.points) times_s.push_back(point.time_s);
  const std::vector<PathState> states = StatesOnFrames(flight.fit.path, evidence_.rules.picture, times_s);
  std::size_t near = 0;
  const double reach_px = 0.02 * std::max(evidence_.rules.width_px, evidence_.rules.height_px);
  for (std::size_t i = 0; i < states.size(); ++i) {
    near += (states[i].at_px - other.points[i].body.at_px).norm() < reach_px ? 1 : 0;
  }
  return 2 * near > states.size();
}

Error FlightChoice::Ambiguous(const FlightGuess& best, const FlightGuess& rival) const {
  const auto when = [this](const FlightGuess& guess) {
    const double tenths = std::round(guess.points.front().time_s * stored_per_real_s_ * 10.0) / 10.0;
    std::string text = std::to_string(tenths);
    return text.substr(0, text.find('.') + 2);
  };
  return Refused(
      "path-ambiguous",
      "Two paths in the clip fly equally well, one from " + when(best) + " s and one from " + when(rival) + " s.",
      "Mark the launch point (the tube's mouth), or cut the clip to one flight.");
}

}  // namespace loftline
