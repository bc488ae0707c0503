// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline {

// Quantiles of the standard distributions, by R's mathematics library. PROBABILITY is that of lying below, 0 < p < 1;
// others throw std::invalid_argument.
double NormalQuantile(double probability);

// DOF above zero and not necessarily whole; infinity gives the normal distribution.
double StudentQuantile(double probability, double dof);

}  // namespace loftline
