// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_clock.h"

#include <algorithm>

namespace loftline {

FlightClock::FlightClock(const FlightResult& result) {
  const FittedPoint* first = nullptr;
  const FittedPoint* last = nullptr;
  for (const FittedPoint& point : result.points) {
    if (!point.used) continue;
    if (first == nullptr) first = &point;
    last = &point;
  }
  const double container_span_s = result.seen_last_s - result.seen_first_s;
  if (first == nullptr || first == last || !(container_span_s > 0.0)) {
    container_first_s_ = result.launch_time_s;
    return;
  }
  container_first_s_ = result.seen_first_s;
  first_s_ = first->time_s;
  pace_ = (last->time_s - first->time_s) / container_span_s;
}

std::optional<PathSample> PathAt(const FlightResult& result, double time_s) {
  const std::vector<PathSample>& path = result.path;
  if (path.empty() || time_s < path.front().time_s || time_s > path.back().time_s) return std::nullopt;
  const auto after = std::lower_bound(
      path.begin(), path.end(), time_s, [](const PathSample& sample, double time) { return sample.time_s < time; });
  if (after == path.begin()) return path.front();
  const PathSample& from = *(after - 1);
  const PathSample& to = *after;
  const double part = to.time_s > from.time_s ? (time_s - from.time_s) / (to.time_s - from.time_s) : 1.0;
  PathSample sample = from;
  sample.time_s = time_s;
  sample.in_plane_m += part * (to.in_plane_m - from.in_plane_m);
  sample.in_px += part * (to.in_px - from.in_px);
  sample.speed_m_s += part * (to.speed_m_s - from.speed_m_s);
  sample.speed_std_m_s += part * (to.speed_std_m_s - from.speed_std_m_s);
  sample.height_std_m += part * (to.height_std_m - from.height_std_m);
  sample.seen = from.seen && to.seen;
  return sample;
}

}  // namespace loftline
