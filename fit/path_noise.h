// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/monte_carlo.h"
#include "fit/flight_problem.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// Light and shade on the body, the background's brightness and the lens change slowly along the flight. What they do to
// the points looks like flight and leaves no residual, so it is a known amount here: so many independent errors of this
// size. Measured on rendered clips against their truth (./dev accuracy), not derived.
inline constexpr double kSlowErrorPx = 0.15, kSlowErrorsPerFlight = 5.0;

// COUNT points over the number of independent slow errors among them; at least 1. By that factor the fit's weights make
// a slow error's variance larger, as if it were white: it then weighs as much in the mean over the flight.
double PointsPerSlowError(std::size_t count);

// The errors of a track's points as they are: each its own, and slow ones that hang together along the flight, where
// the fit's weights have white ones instead. Those have the right size in the mean but bend a path more than errors do
// that change slowly; what the fit makes of its points is therefore judged by these.
class PathNoise {
 public:
  // SCALED: the points with the covariances that the fit weighs them by (WithNoise, noise_level.h).
  explicit PathNoise(const std::vector<SeenPoint>& scaled);

  // The estimator of SOLUTION, which was made with the same points, with columns for these errors in place of those for
  // the white ones; its motion covariance follows.
  FlightSolution Judged(const FlightSolution& solution) const;

  // What the points' whitened residuals might have been, two for each. OWN_SCALE multiplies each point's own part.
  std::vector<double> Draw(double own_scale, RandomDraws* draws) const;

 private:
  MotionMatrix MotionCovariance(const FlightSolution& solution) const;

  struct Part {
    Eigen::Matrix2d own, slow, pose;  // roots of the covariances, whitened
  };
  std::vector<Part> parts_;
  Eigen::MatrixXd correlation_;       // of the slow errors, points x points
  Eigen::MatrixXd correlation_root_;  // lower
};

}  // namespace loftline
