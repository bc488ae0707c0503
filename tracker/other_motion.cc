// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/other_motion.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace loftline {
namespace {

constexpr std::size_t kFewestPoints = 5;
constexpr double kOtherMotionSeconds = 0.35, kOtherMotionLeastSeconds = 0.2;  // looked at before and after a path
constexpr double kOtherSpeedShare = 0.75, kMissingFallShare = 0.5;            // of the path's speed and gravity there

double MedianOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// Whether POINTS, all before or all after the path, keep about its speed, but do not fall as it says: what flies by
// itself. END_S: the path's nearest end.
bool FliesByItself(const std::vector<Candidate>& points,
                   double end_s,
                   const FlightGuess& guess,
                   const FlightRules& rules) {
  if (points.size() < kFewestPoints) return false;
  const double span_s = points.back().time_s - points.front().time_s;
  if (span_s < kOtherMotionLeastSeconds) return false;
  std::vector<double> times_s;
  times_s.reserve(points.size());
  for (const Candidate& point : points) times_s.push_back(point.time_s);
  const std::vector<PathState> states = StatesOnFrames(guess.fit.path, rules.picture, times_s);
  std::vector<double> missing_falls;  // shares of what gravity does
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double since_s = times_s[i] - end_s;
    if (std::abs(since_s) < 0.5 * kOtherMotionLeastSeconds) continue;
    const double fall_px = 0.5 * guess.fit.path.gravity_px_per_s2.y() * since_s * since_s;
    missing_falls.push_back((states[i].at_px.y() - points[i].body.at_px.y()) / fall_px);
  }
  const double mean_px_per_s = (points.back().body.at_px - points.front().body.at_px).norm() / span_s;
  const double at_end_px_per_s = (end_s < times_s.front() ? states.front() : states.back()).velocity_px_per_s.norm();
  return mean_px_per_s >= kOtherSpeedShare * at_end_px_per_s && MedianOf(missing_falls) >= kMissingFallShare;
}

}  // namespace

bool IsPartOfAnotherMotion(const FlightGuess& guess, const Tracklet& tracklet, const FlightRules& rules) {
  const double first_s = guess.points.front().time_s, last_s = guess.points.back().time_s;
  std::vector<Candidate> before, after;
  for (const Candidate& point : tracklet.points) {
    if (point.time_s < first_s && point.time_s >= first_s - kOtherMotionSeconds) before.push_back(point);
    if (point.time_s > last_s && point.time_s <= last_s + kOtherMotionSeconds) after.push_back(point);
  }
  return FliesByItself(before, first_s, guess, rules) || FliesByItself(after, last_s, guess, rules);
}

}  // namespace loftline
