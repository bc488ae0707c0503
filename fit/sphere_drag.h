// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cmath>

namespace loftline {

// Drag coefficient of a smooth sphere against the Reynolds number on its diameter, below 1e6: Morrison, An Introduction
// to Fluid Mechanics (2013), through the drag crisis. Measured values scatter about it by some 10 %.
template <typename T>
T SphereDragCoefficient(const T& reynolds) {
  using std::pow;
  // At rest drag vanishes whatever the coefficient; the bound keeps it finite.
  const T re = reynolds < T(1e-3) ? T(1e-3) : reynolds;
  const T low = re / T(5.0), high = re / T(263000.0);
  return T(24.0) / re + T(2.6) * low / (T(1.0) + pow(low, 1.52)) +
         T(0.411) * pow(high, -7.94) / (T(1.0) + pow(high, -8.0)) + pow(re, 0.8) / T(461000.0);
}

}  // namespace loftline
