// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

struct StandingBands {
  Measured bands;  // waves from the first to the last sensor row
  double depth = 0.0;
};

// Bands that stand still, told from the scene by their shape: an even wave on a smooth scene (a polynomial of the
// fourth degree). PROFILES: log-luma along the readout at PLACE (0 to 1), one for each strip of the picture; each strip
// gives its own answer; their scatter, and what a polynomial of the sixth degree would change, is the uncertainty.
// Nothing where less than LEAST_BANDS waves show, the wave is not by far the most of what is not smooth, or the strips
// disagree.
std::optional<StandingBands> FindStandingBands(const std::vector<Eigen::VectorXd>& profiles,
                                               const Eigen::VectorXd& place,
                                               double least_bands,
                                               double most_bands);

}  // namespace loftline
