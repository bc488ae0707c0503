// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/flight_choice.h"

#include "tracker/label_points.h"
#include "tracker/refine_flight.h"
#include "tracker/seen_alone.h"
#include "tracker/track_refusals.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>

namespace loftline {
namespace {

constexpr double kSettleSeconds = 1.2;  // a tracklet is judged so long after it ended: the path may come back into view
constexpr double kQuietSeconds = 0.5;   // a guess that has not changed for so long is whole
constexpr double kEndOfTime = 1e18;
constexpr std::size_t kMostGuesses = 6;
constexpr std::size_t kMostWithMarks = 24;  // a mark still to come may lie on a poor one
constexpr std::size_t kMostWaiting = 64;
constexpr double kEndOnPathPx = 4.0;  // half of what a mark may lie off the path (marked_places.cc)

std::vector<double> TimesOf(const FlightGuess& guess) {
  std::vector<double> times_s;
  times_s.reserve(guess.points.size());
  for (const Candidate& point : guess.points) times_s.push_back(point.time_s);
  return times_s;
}

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
  JudgeWaiting(now_s);
  ReachNewMarks();
  for (FlightGuess& guess : guesses_) {
    if (!guess.settled && guess.changed_s + kQuietSeconds < now_s) Settle(&guess);
  }
}

void FlightChoice::JudgeWaiting(double now_s) {
  std::vector<Tracklet> later;
  for (Tracklet& tracklet : waiting_) {
    if (tracklet.points.back().time_s + kSettleSeconds > now_s) {
      later.push_back(std::move(tracklet));
      continue;
    }
    std::optional<FlightGuess> guess = FindFlight(tracklet, evidence_.history, evidence_.rules);
    if (guess && guess->capture_rate_hz) {
      RememberSlowed(std::move(*guess));
    } else if (guess) {
      Remember(std::move(*guess), now_s);
    }
  }
  waiting_ = std::move(later);
}

// A mark may come long after the part of the flight that was seen: the guesses that lead to it are settled anew, while
// it is still known what was seen between.
void FlightChoice::ReachNewMarks() {
  if (evidence_.marks.seen() == marks_reached_) return;
  marks_reached_ = evidence_.marks.seen();
  for (FlightGuess& guess : guesses_) {
    if (evidence_.marks.FitOf(guess, evidence_.rules) != MarkedPlaces::Fit::kMisses) guess.settled = false;
  }
}

Expected<ChosenFlight> FlightChoice::Choose(int frames) {
  Judge({}, kEndOfTime);
  if (const std::optional<int> frame = evidence_.marks.FirstBeyond(frames)) return NoSuchFrame(*frame, frames);
  if (evidence_.marks.empty()) {
    std::erase_if(guesses_, [this](const FlightGuess& guess) { return OnlyFalls(guess, evidence_.rules); });
  }
  if (IsSlowMotion()) return TimeBaseSuspect(*slowed_->capture_rate_hz, evidence_.rules.believed_rate_hz);
  if (!evidence_.marks.empty() && !KeepMarked()) return NoFlightThroughMarks();
  if (guesses_.empty()) {
    return frames < static_cast<int>(kFewestFlightPoints) ? ClipTooShort(frames) : NoRocketInClip();
  }
  SortGuesses();
  if (!guesses_.front().settled) Settle(&guesses_.front());
  const FlightGuess& best = guesses_.front();
  PathChoice choice = ChoiceOf(best);
  if (choice.settled_by != SettledBy::kNothing) return ChosenFlight{best, std::move(choice)};
  undecided_ = choice;
  return PathAmbiguous(choice, evidence_.rules.launch_px.has_value(), !evidence_.marks.empty());
}

// The runner-up: first of those that neither marks nor the launch point tell from the best path, since only such a one
// makes it ambiguous; then of those that they do tell; else, all being left behind clearly, the one that comes nearest.
PathChoice FlightChoice::ChoiceOf(const FlightGuess& best) const {
  struct Rival {
    SettledBy against;
    const FlightGuess* flight = nullptr;
  };
  std::array<Rival, 3> rivals{{{SettledBy::kNothing}, {SettledBy::kLaunchPoint}, {SettledBy::kMarks}}};
  const auto consider = [&](const FlightGuess& other, Rival* among) {
    if (&other == &best || !IsRival(best, other)) return;
    if (among->flight == nullptr || other.own_score > among->flight->own_score) among->flight = &other;
  };
  for (const FlightGuess& other : guesses_) {
    consider(other, best.from_launch && !other.from_launch ? &rivals[1] : &rivals[0]);
  }
  for (const FlightGuess& other : beside_marks_) consider(other, &rivals[2]);

  PathChoice choice;
  choice.chosen = Seen(best);
  const FlightGuess* nearest = nullptr;
  for (const Rival& rival : rivals) {
    if (rival.flight == nullptr) continue;
    if (nearest == nullptr || rival.flight->own_score > nearest->own_score) nearest = rival.flight;
    choice.runner_up = Seen(*rival.flight);
    choice.settled_by = rival.against;
    if (choice.Margin() < kLeastMargin) return choice;
  }
  if (nearest == nullptr) return choice;
  choice.runner_up = Seen(*nearest);
  choice.settled_by = SettledBy::kMargin;
  return choice;
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
  ForgetWeakest();
}

void FlightChoice::RememberSlowed(FlightGuess guess) {
  if (!slowed_ || guess.own_score > slowed_->own_score) slowed_ = std::move(guess);
}

// Slow motion that nobody told of: nothing else flies, or what does is a chance path far poorer than the slow one. Of
// marks the slow one alone must go through all.
bool FlightChoice::IsSlowMotion() {
  if (!slowed_) return false;
  if (!evidence_.marks.empty()) {
    return GoesThroughMarks(*slowed_) &&
           std::none_of(
               guesses_.begin(), guesses_.end(), [this](const FlightGuess& guess) { return GoesThroughMarks(guess); });
  }
  RateByLaunch(&*slowed_, evidence_.rules);
  if (OnlyFalls(*slowed_, evidence_.rules)) return false;
  if (guesses_.empty()) return true;
  SortGuesses();
  return guesses_.front().score < (1.0 - kLeastMargin) * slowed_->score;
}

// What goes through the marks is kept, however poor.
void FlightChoice::ForgetWeakest() {
  if (guesses_.size() <= (evidence_.marks.empty() ? kMostGuesses : kMostWithMarks)) return;
  for (auto guess = guesses_.rbegin(); guess != guesses_.rend(); ++guess) {
    if (GoesThroughMarks(*guess)) continue;
    guesses_.erase(std::next(guess).base());
    return;
  }
  guesses_.pop_back();
}

bool FlightChoice::GoesThroughMarks(const FlightGuess& guess) const {
  return !evidence_.marks.empty() && evidence_.marks.seen() > 0 &&
         evidence_.marks.FitOf(guess, evidence_.rules) == MarkedPlaces::Fit::kThrough;
}

// A second look is dear, and wanted only of the best guess, or a marked one, once it is whole. It needs patches, and
// labelling the frames between the points, which are forgotten in the end; both are done while they are there.
void FlightChoice::Settle(FlightGuess* guess) {
  const bool led =
      evidence_.marks.seen() > 0 && evidence_.marks.FitOf(*guess, evidence_.rules) != MarkedPlaces::Fit::kMisses;
  if (led) {
    evidence_.marks.LeadThrough(guess, evidence_.rules);
    evidence_.marks.AddTo(&guess->points);
  }
  if (guess == &guesses_.front() || led) {
    RefineFlight(guess, evidence_.pool, evidence_.rules);
    KeepSeenAlone(guess, evidence_.rules);
  }
  if (led) evidence_.marks.AddTo(&guess->points);
  guess->steady_track = LabelPoints(*guess, evidence_.history, evidence_.rules);
  guess->track = guess->steady_track;
  evidence_.view.ToOwnPixels(&guess->track);
  guess->settled = true;
}

// Only guesses that go through all marks stay, or where none does, those that lead to them; false where there is none.
bool FlightChoice::KeepMarked() {
  for (const MarkedPlaces::Fit wanted : {MarkedPlaces::Fit::kThrough, MarkedPlaces::Fit::kAhead}) {
    const auto kept = std::stable_partition(guesses_.begin(), guesses_.end(), [&](const FlightGuess& guess) {
      return evidence_.marks.FitOf(guess, evidence_.rules) == wanted;
    });
    if (kept == guesses_.begin()) continue;
    beside_marks_.assign(std::make_move_iterator(kept), std::make_move_iterator(guesses_.end()));
    guesses_.erase(kept, guesses_.end());
    return true;
  }
  std::optional<FlightGuess> guess = evidence_.marks.FlightThrough(evidence_.history, evidence_.rules);
  if (!guess || evidence_.marks.FitOf(*guess, evidence_.rules) != MarkedPlaces::Fit::kThrough) return false;
  beside_marks_ = std::move(guesses_);
  guesses_ = {*std::move(guess)};
  return true;
}

// The launch point may have become known since.
void FlightChoice::SortGuesses() {
  for (FlightGuess& guess : guesses_) RateByLaunch(&guess, evidence_.rules);
  std::sort(
      guesses_.begin(), guesses_.end(), [](const FlightGuess& a, const FlightGuess& b) { return a.score > b.score; });
}

bool FlightChoice::IsRival(const FlightGuess& best, const FlightGuess& other) const {
  const int longer_px = std::max(evidence_.rules.width_px, evidence_.rules.height_px);
  return !Continues(best, other, longer_px) && !LiesOnPath(best, other) && !LiesOnPath(other, best);
}

// Rise and fall of one flight, seen apart from each other, are no rivals.
bool FlightChoice::LiesOnPath(const FlightGuess& flight, const FlightGuess& other) const {
  const std::vector<PathState> states = StatesOnFrames(flight.fit.path, evidence_.rules.picture, TimesOf(other));
  std::size_t near = 0;
  const double reach_px = 0.02 * std::max(evidence_.rules.width_px, evidence_.rules.height_px);
  for (std::size_t i = 0; i < states.size(); ++i) {
    near += (states[i].at_px - other.points[i].body.at_px).norm() < reach_px ? 1 : 0;
  }
  return 2 * near > states.size();
}

SeenPath FlightChoice::Seen(const FlightGuess& guess) const {
  SeenPath path;
  // The very first and last sights may be of the push and of the landing. Ends on the path itself are places by which
  // the flight is known again when somebody marks them.
  const auto on_path = [states = StatesOnFrames(guess.fit.path, evidence_.rules.picture, TimesOf(guess)),
                        &guess](const Candidate& point) {
    const std::size_t i = static_cast<std::size_t>(&point - guess.points.data());
    return (states[i].at_px - point.body.at_px).norm() <= kEndOnPathPx;
  };
  const auto found_first = std::find_if(guess.points.begin(), guess.points.end(), on_path);
  const auto found_last = std::find_if(guess.points.rbegin(), guess.points.rend(), on_path);
  const Candidate& first = found_first != guess.points.end() ? *found_first : guess.points.front();
  const Candidate& last = found_last != guess.points.rend() ? *found_last : guess.points.back();
  path.first_frame = first.frame;
  path.last_frame = last.frame;
  path.first_s = first.time_s * stored_per_real_s_;
  path.last_s = last.time_s * stored_per_real_s_;
  path.from_px = first.body.at_px;
  path.to_px = last.body.at_px;
  // In the frames' own pixels, where those are known already.
  for (const TrackPoint& point : guess.track.points) {
    if (point.state == PointState::kHidden) continue;
    if (point.frame == path.first_frame) path.from_px = point.at_px;
    if (point.frame == path.last_frame) path.to_px = point.at_px;
  }
  path.points = static_cast<int>(guess.points.size());
  path.score = guess.own_score;
  path.from_launch = guess.from_launch;
  return path;
}

}  // namespace loftline
