// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_problem.h"

#include <vector>

namespace loftline {

// How much larger the points' errors are than their covariances say, as the residuals of a solution show. Along and
// across the path are told apart: a tracker that loses the nose against a cloud errs along the body, hardly across it.
struct NoiseLevel {
  double along = 1.0, across = 1.0;                          // robust sizes of the residuals, in standard deviations
  double along_correlation = 0.0, across_correlation = 0.0;  // of neighbouring points, 0..0.9

  double Size() const { return along * across; }  // for comparing two explanations of the same points
};

NoiseLevel EstimateNoise(const std::vector<SeenPoint>& points, const FlightSolution& solution);

// The points with covariances to match. A run of points whose errors hang together says less than as many independent
// ones: for an autoregressive process of first order with correlation r, by the factor (1 + r)/(1 - r) in variance.
std::vector<SeenPoint> WithNoise(const std::vector<SeenPoint>& points,
                                 const FlightSolution& solution,
                                 const NoiseLevel& level);

// Residuals along and across the path over their own robust size: about one where all is well, whatever the tracker
// claimed. Seen minus fitted.
std::vector<Eigen::Vector2d> ResidualsOverScatter(const std::vector<SeenPoint>& points,
                                                  const FlightSolution& solution,
                                                  const NoiseLevel& level);

// How many independent residuals the noise level was found from, for COUNT points.
double EffectiveDof(std::size_t count, const NoiseLevel& level);

}  // namespace loftline
