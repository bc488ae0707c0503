// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <optional>

namespace loftline {

// Seconds since the launch point for a frame's container time. The pace comes from the fit's own points, so that slow
// motion stored at another rate shows real seconds.
class FlightClock {
 public:
  explicit FlightClock(const FlightResult& result);
  double SinceLaunch_s(double container_time_s) const {
    return first_s_ + pace_ * (container_time_s - container_first_s_);
  }

 private:
  double container_first_s_ = 0.0;
  double first_s_ = 0.0;
  double pace_ = 1.0;
};

// The fitted path between its samples; nothing before the first and after the last.
std::optional<PathSample> PathAt(const FlightResult& result, double time_s);

}  // namespace loftline
