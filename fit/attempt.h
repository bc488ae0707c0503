// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/run_control.h"
#include "fit/fit_flight.h"
#include "fit/fit_inputs.h"
#include "fit/flight_problem.h"
#include "fit/noise_level.h"

#include <optional>
#include <vector>

namespace loftline {

// One solution with the noise level that its own residuals show.
struct Attempt {
  FlightSolution solution;
  std::vector<SeenPoint> points;  // with the covariances that the solution was made with
  NoiseLevel noise;               // against the tracker's own covariances

  double NoiseScale() const { return std::max(noise.along, noise.across); }
  bool Usable() const { return solution.converged && !solution.cancelled; }
};

// Solves with the tracker's covariances first, then twice with those that the residuals ask for. FREE_LENGTH_RATIO:
// gravity alone sets the scale. Tests for a change of the drag at DRAG_CHANGES_S in the last round. NEAR: a solution of
// much the same problem to start from, with its covariances; then one round does.
struct AttemptOptions {
  const Attempt* near = nullptr;
  bool free_length_ratio = false;
  std::vector<double> drag_changes_s = {};
};
Attempt SolveFrom(const FitInputs& inputs,
                  const FlightUnknowns& start,
                  const FitOptions& options,
                  const AttemptOptions& how,
                  const RunControl& control);

// The best of several starts by closed form (start_values.h), LENGTH_RATIO being what gravity says of the survey's
// lengths, near enough. Not usable where no flight fits.
Attempt SolveFromTracks(const FitInputs& inputs,
                        double length_ratio,
                        const FitOptions& options,
                        const AttemptOptions& how,
                        const RunControl& control);

}  // namespace loftline
