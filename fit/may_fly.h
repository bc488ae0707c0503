// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_motion.h"

#include <algorithm>
#include <cmath>

namespace loftline {

// Whether MOTION is worth flying: slower than 300 m/s, in less wind than 100 m/s, and not slowed down within 25 ms.
// What is blown from a tube never leaves these bounds; searches and files that somebody edited do, and each flight
// beyond them takes a second to compute.
inline bool MayFly(const MotionVector& motion) {
  constexpr double kFastestMPerS = 300.0, kMostWindMPerS = 100.0, kMostSlowedPerS = 40.0;
  const double speed_m_per_s = std::hypot(motion[kForwardMPerS], motion[kUpMPerS]);
  const double wind_m_per_s = std::abs(motion[kWindXMPerS]);
  const double drag_per_m = std::exp(motion[kLogDrag] + std::max(0.0, motion[kLogDragChange]));
  return motion.allFinite() && speed_m_per_s < kFastestMPerS && wind_m_per_s < kMostWindMPerS &&
         motion[kLogDrag] > -30.0 && drag_per_m * (speed_m_per_s + wind_m_per_s) < kMostSlowedPerS;
}

}  // namespace loftline
