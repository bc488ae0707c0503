// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/shown_rockets.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

namespace loftline {
namespace {

constexpr std::array kSteps_s{0.02, 0.05, 0.1, 0.2, 0.5, 1.0};
constexpr double kClearLengths = 2.2;  // between the middles of neighbours, so that curve shows between their rings
constexpr double kClearShare = 0.6;    // of all neighbours; the slow top of a steep flight is allowed to crowd
constexpr double kNearStep = 0.25;  // a frame counts for a step of time when it is no farther from it than this share

struct Candidate {
  const FittedPoint* point;
  double length_px;
};

std::vector<Candidate> Candidates(const FlightResult& result, const ClipTrack& pictures) {
  std::set<int> pictured;
  for (const Cutout& cutout : pictures.cutouts) pictured.insert(cutout.frame);
  std::map<int, double> length_px;
  for (const TrackPoint& point : pictures.in_backdrop.points) length_px[point.frame] = point.length_px;
  std::vector<Candidate> candidates;
  for (const FittedPoint& point : result.points) {
    if (!point.used || !point.seen_in_px.allFinite() || !pictured.contains(point.frame)) continue;
    const auto length = length_px.find(point.frame);
    const bool known = length != length_px.end() && std::isfinite(length->second);
    candidates.push_back({&point, known ? length->second : 0.0});
  }
  return candidates;
}

// The candidate nearest to every multiple of STEP_S.
std::vector<ShownRocket> AtSteps(const std::vector<Candidate>& candidates, double step_s) {
  std::map<int, const Candidate*> nearest;
  const auto miss_s = [step_s](const Candidate& one, int step) { return std::abs(one.point->time_s - step * step_s); };
  for (const Candidate& candidate : candidates) {
    const int step = static_cast<int>(std::lround(candidate.point->time_s / step_s));
    if (miss_s(candidate, step) > kNearStep * step_s) continue;
    const Candidate*& best = nearest[step];
    if (best == nullptr || miss_s(candidate, step) < miss_s(*best, step)) best = &candidate;
  }
  std::vector<ShownRocket> rockets;
  rockets.reserve(nearest.size());
  for (const auto& [step, candidate] : nearest) {
    rockets.push_back({candidate->point->frame, step, candidate->point->seen_in_px, candidate->length_px});
  }
  return rockets;
}

bool StandClear(const std::vector<ShownRocket>& rockets) {
  std::size_t clear = 0;
  std::size_t neighbours = 0;
  for (std::size_t i = 1; i < rockets.size(); ++i) {
    if (rockets[i].step != rockets[i - 1].step + 1) continue;
    const double length_px = std::max(rockets[i].length_px, rockets[i - 1].length_px);
    ++neighbours;
    clear += (rockets[i].in_px - rockets[i - 1].in_px).norm() >= kClearLengths * length_px ? 1 : 0;
  }
  return neighbours > 0 && static_cast<double>(clear) >= kClearShare * static_cast<double>(neighbours);
}

}  // namespace

ShownRockets PickRockets(const FlightResult& result, const ClipTrack& pictures) {
  const std::vector<Candidate> candidates = Candidates(result, pictures);
  ShownRockets shown;
  if (candidates.empty()) return shown;
  for (const double step_s : kSteps_s) {
    std::vector<ShownRocket> rockets = AtSteps(candidates, step_s);
    if (rockets.empty()) break;
    shown = {step_s, std::move(rockets)};
    if (StandClear(shown.rockets)) break;
  }
  return shown;
}

}  // namespace loftline
