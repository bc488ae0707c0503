// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/seen_alone.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace loftline {
namespace {

constexpr std::size_t kFewestPairs = 12;  // frames with both measurements, to know how far they differ
constexpr std::size_t kPairsAlike = 20;   // of these, so many of the most similar signal are asked
constexpr double kLeastStdPx = 0.3;
constexpr double kMostStdPx = 4.0;  // known worse than that, a place says nothing of the flight
constexpr double kGateStds = 2.5;
constexpr double kBeyondSeconds = 0.25;  // before the first point and after the last
constexpr double kMedianOfNormal = 0.6745;

// How one frame by itself differs from the measurement with all frames together, in the frame's own pixels.
struct Pair {
  double log_sum = 0.0;
  Eigen::Vector2d apart_px = Eigen::Vector2d::Zero();  // along the flight, across it
};

Eigen::Matrix2d FlightAxes(const PathState& state) {
  const Eigen::Vector2d along = state.velocity_px_per_s.stableNormalized();
  Eigen::Matrix2d axes;
  axes << along.x(), along.y(), -along.y(), along.x();
  return axes;
}

std::vector<PathState> StatesOf(const std::vector<Candidate>& points,
                                const FlightGuess& guess,
                                const FlightRules& rules) {
  std::vector<double> times_s;
  times_s.reserve(points.size());
  for (const Candidate& point : points) times_s.push_back(point.time_s);
  return StatesOnFrames(guess.fit.path, rules.picture, times_s);
}

const Candidate* PointOn(const std::vector<Candidate>& points, int frame) {
  const auto point = std::lower_bound(
      points.begin(), points.end(), frame, [](const Candidate& each, int wanted) { return each.frame < wanted; });
  return point != points.end() && point->frame == frame ? &*point : nullptr;
}

double MedianOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// By the pairs whose single frames showed about as much of the body as this one. The median, so that a wrong one does
// not matter; of the size, so that an offset counts too.
Eigen::Vector2d StdsOf(double log_sum, std::vector<Pair> pairs) {
  const auto unlike = [log_sum](const Pair& pair) { return std::abs(pair.log_sum - log_sum); };
  if (pairs.size() > kPairsAlike) {
    std::nth_element(pairs.begin(), pairs.begin() + kPairsAlike, pairs.end(), [&unlike](const Pair& a, const Pair& b) {
      return unlike(a) < unlike(b);
    });
    pairs.resize(kPairsAlike);
  }
  Eigen::Vector2d stds_px;
  for (int axis = 0; axis < 2; ++axis) {
    std::vector<double> sizes_px;
    sizes_px.reserve(pairs.size());
    for (const Pair& pair : pairs) sizes_px.push_back(std::abs(pair.apart_px[axis]));
    stds_px[axis] = std::max(kLeastStdPx, MedianOf(sizes_px) / kMedianOfNormal);
  }
  return stds_px;
}

std::vector<Pair> PairsOf(const FlightGuess& guess, const std::vector<PathState>& states) {
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < guess.linked.size(); ++i) {
    const Candidate& alone = guess.linked[i];
    const Candidate* point = PointOn(guess.points, alone.frame);
    if (point == nullptr || !point->together) continue;
    pairs.push_back({std::log(std::max(1.0, alone.body.sum)),
                     FlightAxes(states[i]) * (alone.body.at_px - point->body.at_px) / alone.magnified});
  }
  return pairs;
}

}  // namespace

void KeepSeenAlone(FlightGuess* guess, const FlightRules& rules) {
  if (guess->points.empty()) return;
  const std::vector<PathState> states = StatesOf(guess->linked, *guess, rules);
  const std::vector<Pair> pairs = PairsOf(*guess, states);
  if (pairs.size() < kFewestPairs) return;
  std::vector<Candidate> kept;
  for (std::size_t i = 0; i < guess->linked.size(); ++i) {
    Candidate alone = guess->linked[i];
    if (alone.time_s < guess->points.front().time_s - kBeyondSeconds ||
        alone.time_s > guess->points.back().time_s + kBeyondSeconds) {
      continue;
    }
    if (PointOn(guess->points, alone.frame) != nullptr) continue;
    const Eigen::Vector2d stds_px = StdsOf(std::log(std::max(1.0, alone.body.sum)), pairs);
    if (stds_px.maxCoeff() > kMostStdPx) continue;
    const Eigen::Matrix2d axes = FlightAxes(states[i]);
    const Eigen::Vector2d off_px = axes * (alone.body.at_px - states[i].at_px) / alone.UnitPx();
    const Eigen::Vector2d gates_px =
        kGateStds * (stds_px.cwiseAbs2().array() + guess->fit.rms_px * guess->fit.rms_px).sqrt();
    if (std::abs(off_px.x()) > gates_px.x() || std::abs(off_px.y()) > gates_px.y()) continue;
    const Eigen::Vector2d vars_px2 = (alone.magnified * stds_px).cwiseAbs2();
    alone.body.cov_px2 = axes.transpose() * vars_px2.asDiagonal() * axes;
    alone.together = false;
    kept.push_back(std::move(alone));
  }
  guess->points.insert(guess->points.end(), kept.begin(), kept.end());
  std::sort(guess->points.begin(), guess->points.end(), [](const Candidate& a, const Candidate& b) {
    return a.frame < b.frame;
  });
}

}  // namespace loftline
