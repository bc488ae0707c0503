// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cmath>
#include <numbers>

namespace loftline {

// A value and its standard uncertainty, both in the same unit, which the variable's name gives (Measured mass_kg).
struct Measured {
  double value = 0.0;
  double std = 0.0;
};

// A result with its 95 % interval, which need not be symmetric about the value.
struct Estimate {
  double value = 0.0;
  double std = 0.0;
  double low_95 = 0.0;
  double high_95 = 0.0;
};

constexpr double RadFromDeg(double angle_deg) {
  return angle_deg * std::numbers::pi / 180.0;
}
constexpr double DegFromRad(double angle_rad) {
  return angle_rad * 180.0 / std::numbers::pi;
}

}  // namespace loftline
