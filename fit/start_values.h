// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_problem.h"

#include <optional>
#include <vector>

namespace loftline {

// A first guess by closed form: the points are taken to metres with CAMERA, a polynomial in time gives speeds and
// accelerations, from them k by linear least squares, and flying backwards finds when the launch point was passed.
// LAUNCH_MARKED false: the first point is the launch point. LENGTH_RATIO: true metres over the camera's. Nothing where
// the points do not make a path.
std::optional<FlightUnknowns> StartValues(const std::vector<SeenPoint>& points,
                                          const Camera& camera,
                                          const FlightPriors& priors,
                                          bool launch_marked,
                                          double length_ratio = 1.0);

// How fast things fall in the camera's metres and the points' seconds, drag allowed for; by the same polynomial and
// linear least squares. Nothing where they do not fall.
std::optional<double> ImpliedGravityMPerS2(const std::vector<SeenPoint>& points,
                                           const Camera& camera,
                                           const FlightPriors& priors);

}  // namespace loftline
