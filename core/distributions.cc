// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/distributions.h"

#include <cmath>
#include <stdexcept>

#define MATHLIB_STANDALONE
#include <Rmath.h>

namespace loftline {
namespace {

void MustLieInside(double probability) {
  if (!(probability > 0.0 && probability < 1.0)) throw std::invalid_argument("a probability must lie between 0 and 1");
}

}  // namespace

double NormalQuantile(double probability) {
  MustLieInside(probability);
  return qnorm5(probability, 0.0, 1.0, /*lower_tail=*/1, /*log_p=*/0);
}

double StudentQuantile(double probability, double dof) {
  MustLieInside(probability);
  if (!(dof > 0.0)) throw std::invalid_argument("degrees of freedom must be above zero");
  return std::isinf(dof) ? NormalQuantile(probability) : qt(probability, dof, /*lower_tail=*/1, /*log_p=*/0);
}

}  // namespace loftline
