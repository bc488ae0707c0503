// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/marked_places.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr double kSameBodyPx = 10.0;       // a candidate so near a mark is what was marked
constexpr double kLeastThroughPx = 8.0;    // from the path to a mark: people mark the nose, or the fins
constexpr double kUnknownLengthPx = 12.0;  // of a body that only the eye saw
constexpr double kUnknownSum = 1000.0;     // grey levels px
constexpr std::size_t kFewestForPath = 3;
constexpr double kNearParabolaPx = 6.0;
constexpr double kBeyondSeconds = 0.1;
constexpr double kFarthestSeconds = 3.0;  // from a mark to the part of the flight that was seen
constexpr double kUnknownShareOfBend = 0.1, kMostUnknownShare = 0.05;  // the latter of the picture's longer side

double ThroughPx(const FlightGuess& guess) {
  std::vector<double> lengths_px;
  for (const Candidate& point : guess.points) lengths_px.push_back(point.body.length_px);
  const auto middle = lengths_px.begin() + static_cast<std::ptrdiff_t>(lengths_px.size() / 2);
  std::nth_element(lengths_px.begin(), middle, lengths_px.end());
  return std::max(kLeastThroughPx, 0.8 * *middle);
}

double OutsideSeconds(const FlightGuess& guess, double time_s) {
  return std::max({0.0, guess.points.front().time_s - time_s, time_s - guess.points.back().time_s});
}

// How far off a path may be so long before or after its points: a tenth of the bend since, as drag and the third
// dimension may have it.
double UnknownPx(const FlightGuess& guess, double outside_s, const FlightRules& rules) {
  const double span_s = guess.points.back().time_s - guess.points.front().time_s;
  const double bend_px = std::abs(guess.fit.path.gravity_px_per_s2.y()) * outside_s * (outside_s + 0.2 * span_s);
  return std::min(kUnknownShareOfBend * bend_px, kMostUnknownShare * std::max(rules.width_px, rules.height_px));
}

std::vector<TimedPoint> Timed(const std::vector<Candidate>& points) {
  std::vector<TimedPoint> timed;
  timed.reserve(points.size());
  for (const Candidate& point : points) timed.push_back({point.time_s, point.body.at_px, point.UnitPx()});
  return timed;
}

}  // namespace

MarkedPlaces::MarkedPlaces(const std::vector<MarkedPlace>& marked) : marked_(marked) {
  std::sort(
      marked_.begin(), marked_.end(), [](const MarkedPlace& a, const MarkedPlace& b) { return a.frame < b.frame; });
}

const MarkedPlace* MarkedPlaces::On(int frame) const {
  const auto mark =
      std::find_if(marked_.begin(), marked_.end(), [frame](const MarkedPlace& each) { return each.frame == frame; });
  return mark != marked_.end() ? &*mark : nullptr;
}

void MarkedPlaces::Seen(int frame, double time_s, const Eigen::Vector2d& at_px, std::vector<Candidate>* candidates) {
  const auto distance_px = [&at_px](const Candidate& each) { return (each.body.at_px - at_px).norm(); };
  auto nearest = std::min_element(candidates->begin(), candidates->end(), [&](const auto& a, const auto& b) {
    return distance_px(a) < distance_px(b);
  });
  if (nearest == candidates->end() || distance_px(*nearest) > kSameBodyPx) {
    Candidate unseen;
    unseen.frame = frame;
    unseen.time_s = time_s;
    unseen.body.length_px = kUnknownLengthPx;
    unseen.body.width_px = 3.0;
    unseen.body.sum = kUnknownSum;
    nearest = candidates->insert(candidates->begin(), unseen);
  }
  nearest->body.at_px = at_px;
  nearest->body.cov_px2 = Eigen::Matrix2d::Identity();
  nearest->restless = false;
  seen_.push_back({frame, time_s, true, *nearest});
}

void MarkedPlaces::SeenWithoutPlace(int frame, double time_s) {
  SeenMark mark;
  mark.frame = frame;
  mark.time_s = time_s;
  mark.placed = false;
  mark.candidate.body.length_px = kUnknownLengthPx;
  seen_.push_back(mark);
}

std::optional<int> MarkedPlaces::FirstBeyond(int frames) const {
  const auto beyond =
      std::find_if(marked_.begin(), marked_.end(), [frames](const MarkedPlace& mark) { return mark.frame >= frames; });
  return beyond != marked_.end() ? std::optional(beyond->frame) : std::nullopt;
}

std::vector<MarkedPlaces::SeenMark> MarkedPlaces::Placed() const {
  std::vector<SeenMark> placed = seen_;
  std::erase_if(placed, [](const SeenMark& mark) { return !mark.placed; });
  return placed;
}

MarkedPlaces::Fit MarkedPlaces::FitOf(const FlightGuess& guess, const FlightRules& rules) const {
  std::vector<double> times_s;
  times_s.reserve(seen_.size());
  for (const SeenMark& mark : seen_) times_s.push_back(mark.time_s);
  const std::vector<PathState> states = StatesOnFrames(guess.fit.path, rules.picture, times_s);
  const double through_px = ThroughPx(guess);
  Fit fit = Fit::kAhead;
  for (std::size_t i = 0; i < seen_.size(); ++i) {
    const double outside_s = OutsideSeconds(guess, times_s[i]);
    if (outside_s <= kBeyondSeconds) fit = Fit::kThrough;
    if (!seen_[i].placed) continue;
    const double reach_px = through_px + UnknownPx(guess, outside_s, rules);
    // Far back, drag takes a path to infinity.
    const double distance_px = (states[i].at_px - seen_[i].candidate.body.at_px).norm();
    if (outside_s > kFarthestSeconds || !(distance_px <= reach_px)) return Fit::kMisses;
  }
  return fit;
}

void MarkedPlaces::LeadThrough(FlightGuess* guess, const FlightRules& rules) const {
  bool outside = false;
  for (const SeenMark& mark : Placed()) outside = outside || OutsideSeconds(*guess, mark.time_s) > 0.0;
  if (!outside) return;
  std::vector<Candidate> points = guess->points;
  AddTo(&points);
  const std::optional<PathFit> fit = FitBallisticPath(Timed(points), rules.picture, &guess->fit.path);
  if (fit) guess->fit = *fit;
}

void MarkedPlaces::AddTo(std::vector<Candidate>* points) const {
  for (const SeenMark& mark : Placed()) {
    const auto at = std::lower_bound(points->begin(), points->end(), mark.frame, [](const Candidate& each, int frame) {
      return each.frame < frame;
    });
    if (at != points->end() && at->frame == mark.frame) {
      *at = mark.candidate;
    } else {
      points->insert(at, mark.candidate);
    }
  }
}

std::optional<Eigen::Vector2d> MarkedPlaces::Between(int frame) const {
  if (marked_.size() < kFewestForPath || frame < marked_.front().frame || frame > marked_.back().frame) {
    return std::nullopt;
  }
  // The parabola through the three nearest marks in a row.
  const auto next = std::lower_bound(
      marked_.begin(), marked_.end(), frame, [](const MarkedPlace& each, int wanted) { return each.frame < wanted; });
  const auto last_start = static_cast<std::ptrdiff_t>(marked_.size() - kFewestForPath);
  const auto start = static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(next - marked_.begin() - 2, 0, last_start));
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  for (std::size_t i = start; i < start + kFewestForPath; ++i) {
    double weight = 1.0;
    for (std::size_t j = start; j < start + kFewestForPath; ++j) {
      if (j != i) weight *= static_cast<double>(frame - marked_[j].frame) / (marked_[i].frame - marked_[j].frame);
    }
    at_px += weight * marked_[i].at_px;
  }
  return at_px;
}

std::optional<FlightGuess> MarkedPlaces::FlightThrough(const std::deque<Sightings>& history,
                                                       const FlightRules& rules) const {
  const std::vector<SeenMark> placed = Placed();
  if (placed.size() < kFewestForPath) return std::nullopt;
  FlightGuess guess;
  for (const Sightings& sightings : history) {
    const auto mark =
        std::find_if(placed.begin(), placed.end(), [&](const SeenMark& each) { return each.frame == sightings.frame; });
    if (mark != placed.end()) {
      guess.points.push_back(mark->candidate);
      continue;
    }
    const std::optional<Eigen::Vector2d> expected_px = Between(sightings.frame);
    if (!expected_px) continue;
    const Candidate* nearest = nullptr;
    double nearest_px = kNearParabolaPx;
    for (const Candidate& candidate : sightings.candidates) {
      const double distance_px = (candidate.body.at_px - *expected_px).norm();
      if (distance_px < nearest_px) nearest_px = distance_px, nearest = &candidate;
    }
    if (nearest != nullptr) guess.points.push_back(*nearest);
  }
  const std::optional<PathFit> fit = FitBallisticPath(Timed(guess.points), rules.picture);
  if (!fit) return std::nullopt;
  guess.fit = *fit;
  guess.linked = guess.points;
  guess.own_score = guess.score = 1.0;  // nobody else competes with it
  return guess;
}

void MarkedPlaces::PutInto(Track* track) const {
  for (const SeenMark& mark : seen_) {
    auto point =
        std::lower_bound(track->points.begin(), track->points.end(), mark.frame, [](const TrackPoint& each, int frame) {
          return each.frame < frame;
        });
    if (point == track->points.end() || point->frame != mark.frame) {
      TrackPoint added;
      added.frame = mark.frame;
      added.time_s = mark.time_s;
      added.length_px = mark.candidate.body.length_px;
      point = track->points.insert(point, added);
    }
    point->at_px = On(mark.frame)->at_px;
    point->cov_px2 = Eigen::Matrix2d::Identity();
    point->state = PointState::kFlight;
  }
}

}  // namespace loftline
