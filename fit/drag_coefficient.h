// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <numbers>

namespace loftline {

// k = rho Cd A / (2 m) in 1/m of a drag coefficient of one, with the frontal area A = pi d^2 / 4.
inline double DragPerMOfOne(double air_density_kg_per_m3, double diameter_m, double mass_kg) {
  const double area_m2 = std::numbers::pi * diameter_m * diameter_m / 4.0;
  return air_density_kg_per_m3 * area_m2 / (2.0 * mass_kg);
}

}  // namespace loftline
