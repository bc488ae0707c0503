// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/label_points.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr std::size_t kNeighbours = 5;  // on each side, for the smooth part of the misfit
constexpr std::size_t kEndPoints = 4;   // so many at each end may still be push or impact
constexpr double kLeastTolerance_px = 0.9;
constexpr double kToleranceSigmas = 5.0;
constexpr double kToleranceOwnSigmas = 4.0;  // of the point's own uncertainty, where that is more
constexpr double kEvenVar_px2 = 0.25;        // neighbours known better than this count alike
constexpr double kEndShare = 0.8;            // of the tolerance, for an end point
constexpr double kMedianOfNormal = 0.6745;   // median size of a normal deviation, in standard deviations
constexpr double kLengthJump = 1.7;          // a body that much longer than its neighbours is two things in one

double MedianOf(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// Points beside the path. Along the flight, across it: a streak is known far worse along it.
struct Offsets {
  std::vector<double> time_s;
  std::vector<Eigen::Vector2d> off_px;
  std::vector<Eigen::Vector2d> std_px;  // the points' own
  std::vector<char> together;
};

Offsets OffsetsOf(const FlightGuess& flight, const FlightRules& rules) {
  Offsets offsets;
  for (const Candidate& point : flight.points) offsets.time_s.push_back(point.time_s);
  const std::vector<PathState> states = StatesOnFrames(flight.fit.path, rules.picture, offsets.time_s);
  for (std::size_t i = 0; i < states.size(); ++i) {
    const Candidate& point = flight.points[i];
    const Eigen::Vector2d along = states[i].velocity_px_per_s.stableNormalized();
    Eigen::Matrix2d axes;
    axes << along.x(), along.y(), -along.y(), along.x();
    offsets.off_px.emplace_back(axes * (point.body.at_px - states[i].at_px) / point.LenientUnitPx());
    offsets.std_px.emplace_back((axes * point.body.cov_px2 * axes.transpose()).diagonal().cwiseMax(0.0).cwiseSqrt() /
                                point.LenientUnitPx());
    offsets.together.push_back(point.together ? 1 : 0);
  }
  return offsets;
}

// Point I and its nearest neighbours with USE, up to kNeighbours on each side.
std::vector<std::size_t> Neighbours(const std::vector<char>& use, std::size_t i) {
  std::vector<std::size_t> near;
  for (std::size_t step = 1, found = 0; step <= i && found < kNeighbours; ++step) {
    if (use[i - step] != 0) near.push_back(i - step), ++found;
  }
  for (std::size_t j = i + 1, found = 0; j < use.size() && found < kNeighbours; ++j) {
    if (use[j] != 0) near.push_back(j), ++found;
  }
  return near;
}

// The misfit of the model is smooth where it comes from lens or tilt; what stands out of its surroundings is a wrong
// point. Point I's offset beside a straight line through its neighbours' offsets, those with USE only.
Eigen::Vector2d StandsOut(const Offsets& offsets, const std::vector<char>& use, std::size_t i) {
  const std::vector<std::size_t> near = Neighbours(use, i);
  if (near.size() < 3) return Eigen::Vector2d::Zero();
  const auto weight = [&offsets](std::size_t j) { return 1.0 / (kEvenVar_px2 + offsets.std_px[j].squaredNorm()); };
  Eigen::Matrix2d normal = Eigen::Matrix2d::Zero();
  Eigen::Matrix2d right = Eigen::Matrix2d::Zero();
  double span_s = 1e-6, most = 0.0;
  for (const std::size_t j : near) {
    span_s = std::max(span_s, std::abs(offsets.time_s[j] - offsets.time_s[i]));
    most = std::max(most, weight(j));
  }
  for (const std::size_t j : near) {
    const Eigen::Vector2d row(1.0, (offsets.time_s[j] - offsets.time_s[i]) / span_s);
    normal += weight(j) * row * row.transpose();
    right += weight(j) * row * offsets.off_px[j].transpose();
  }
  normal(1, 1) += 0.5 * most;  // a slope only where the neighbours insist: at the ends it is an extrapolation
  return offsets.off_px[i] - normal.ldlt().solve(right).row(0).transpose();
}

// How far points may stand out, by how far most of them do; of those measured together, where there are enough.
Eigen::Vector2d Tolerance(const Offsets& offsets,
                          const std::vector<Eigen::Vector2d>& out,
                          const std::vector<char>& use) {
  std::vector<std::size_t> asked, all;
  for (std::size_t i = 0; i < out.size(); ++i) {
    if (use[i] == 0) continue;
    all.push_back(i);
    if (offsets.together[i] != 0) asked.push_back(i);
  }
  if (asked.size() < 2 * kNeighbours) asked = all;
  Eigen::Vector2d tolerance_px;
  for (int axis = 0; axis < 2; ++axis) {
    std::vector<double> sizes_px;
    sizes_px.reserve(asked.size());
    for (const std::size_t i : asked) sizes_px.push_back(std::abs(out[i][axis]));
    tolerance_px[axis] = std::max(kLeastTolerance_px, kToleranceSigmas / kMedianOfNormal * MedianOf(sizes_px));
  }
  return tolerance_px;
}

double TypicalLength(const std::vector<Candidate>& points, std::size_t i) {
  std::vector<double> lengths;
  for (std::size_t j = i >= kNeighbours ? i - kNeighbours : 0; j < std::min(points.size(), i + kNeighbours + 1); ++j) {
    if (j != i) lengths.push_back(points[j].body.length_px);
  }
  return MedianOf(lengths);
}

PointState StateOf(const FlightGuess& flight,
                   const FlightRules& rules,
                   const std::vector<char>& believed,
                   std::size_t i) {
  const Candidate& point = flight.points[i];
  if (rules.launch_px && i < flight.points.size() / 2 &&
      (point.body.at_px - *rules.launch_px).norm() <= 1.1 * point.body.length_px) {
    return PointState::kLaunch;
  }
  if (believed[i] != 0) return PointState::kFlight;
  // Before the first believed point the rocket is still being pushed, or its place on the tube shows beside it.
  for (std::size_t j = 0; j < i; ++j) {
    if (believed[j] != 0) return PointState::kOutlier;
  }
  return PointState::kLaunch;
}

TrackPoint PointOf(const Candidate& candidate, double extra_var_px2) {
  TrackPoint point;
  point.frame = candidate.frame;
  point.time_s = candidate.time_s;
  point.at_px = candidate.body.at_px;
  point.cov_px2 = candidate.body.cov_px2 + extra_var_px2 * Eigen::Matrix2d::Identity();
  point.length_px = candidate.body.length_px;
  double axis_deg = -candidate.body.axis_rad * 180.0 / std::numbers::pi;  // the picture's y points down
  if (axis_deg > 90.0) axis_deg -= 180.0;
  if (axis_deg < -90.0) axis_deg += 180.0;
  point.axis_deg = candidate.body.axis_known ? axis_deg : std::numeric_limits<double>::quiet_NaN();
  return point;
}

TrackPoint HiddenPoint(int frame, double time_s) {
  TrackPoint point;
  point.frame = frame;
  point.time_s = time_s;
  point.at_px.setConstant(std::numeric_limits<double>::quiet_NaN());
  point.cov_px2.setConstant(std::numeric_limits<double>::quiet_NaN());
  point.state = PointState::kHidden;
  return point;
}

// The first and the last few of the points that are believed, and all beyond them: where several points after the
// landing are out of question, the one before them is an end too.
std::vector<char> EndsOf(const std::vector<char>& believed) {
  std::vector<char> ends(believed.size(), 0);
  const auto mark = [&](auto from, auto to, auto end) {
    for (std::size_t found = 0; from != to && found < kEndPoints; ++from, ++end) {
      *end = 1;
      if (*from != 0) ++found;
    }
  };
  mark(believed.begin(), believed.end(), ends.begin());
  mark(believed.rbegin(), believed.rend(), ends.rbegin());
  return ends;
}

std::vector<char> Believed(const FlightGuess& flight, const FlightRules& rules) {
  const std::vector<Candidate>& points = flight.points;
  const Offsets offsets = OffsetsOf(flight, rules);
  std::vector<char> believed(points.size(), 1);
  for (int round = 0; round < 3; ++round) {
    std::vector<Eigen::Vector2d> out;
    for (std::size_t i = 0; i < points.size(); ++i) out.push_back(StandsOut(offsets, believed, i));
    const Eigen::Vector2d tolerance_px = Tolerance(offsets, out, believed);
    const std::vector<char> ends = EndsOf(believed);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const bool end = ends[i] != 0;
      // At the ends a large uncertainty is no excuse: it may come from a body that is no longer in flight.
      const Eigen::Vector2d own_px = tolerance_px.cwiseMax((end ? 0.0 : kToleranceOwnSigmas) * offsets.std_px[i]);
      const double share = out[i].cwiseQuotient(own_px).norm();
      const bool swollen = points[i].body.length_px > kLengthJump * TypicalLength(points, i) + 3.0;
      believed[i] = share <= (end ? kEndShare : 1.0) && !swollen ? 1 : 0;
    }
  }
  // What lies beyond an end point that is not believed is not believed either: the push, or the bounce.
  for (std::size_t i = std::min(kEndPoints, points.size()); i-- > 0;) {
    if (believed[i] != 0) continue;
    std::fill(believed.begin(), believed.begin() + static_cast<std::ptrdiff_t>(i), char{0});
    break;
  }
  for (std::size_t i = points.size() - std::min(kEndPoints, points.size()); i < points.size(); ++i) {
    if (believed[i] == 0) std::fill(believed.begin() + static_cast<std::ptrdiff_t>(i), believed.end(), char{0});
  }
  return believed;
}

}  // namespace

Track LabelPoints(const FlightGuess& flight, const std::deque<Sightings>& history, const FlightRules& rules) {
  const std::vector<char> believed = Believed(flight, rules);
  Track track;
  std::size_t next = 0;
  for (const Sightings& sightings : history) {
    if (next >= flight.points.size()) break;
    if (sightings.frame < flight.points.front().frame) continue;
    if (sightings.frame < flight.points[next].frame) {
      track.points.push_back(HiddenPoint(sightings.frame, sightings.time_s));
      continue;
    }
    TrackPoint point = PointOf(flight.points[next], 0.0);
    point.state = StateOf(flight, rules, believed, next);
    track.points.push_back(point);
    ++next;
  }
  return track;
}

}  // namespace loftline
