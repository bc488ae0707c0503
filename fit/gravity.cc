// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/gravity.h"

#include <cmath>

namespace loftline {

double GravityMPerS2(double latitude_rad, double elevation_m) {
  constexpr double kSemiMajorAxisM = 6378137.0, kFlattening = 1.0 / 298.257223563, kEccentricity2 = 0.00669437999014;
  constexpr double kEquator = 9.7803253359, kSomigliana = 0.00193185265241, kCentrifugal = 0.00344978650684;
  const double sine2 = std::sin(latitude_rad) * std::sin(latitude_rad);
  const double at_ellipsoid = kEquator * (1.0 + kSomigliana * sine2) / std::sqrt(1.0 - kEccentricity2 * sine2);
  const double height = elevation_m / kSemiMajorAxisM;
  return at_ellipsoid *
         (1.0 - 2.0 * (1.0 + kFlattening + kCentrifugal - 2.0 * kFlattening * sine2) * height + 3.0 * height * height);
}

}  // namespace loftline
