// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/binomial.h"

#include <algorithm>
#include <cmath>

namespace loftline::accuracy {

double BinomialProbability(int successes, int trials, double chance) {
  if (successes < 0 || successes > trials) return 0.0;
  if (chance <= 0.0) return successes == 0 ? 1.0 : 0.0;
  if (chance >= 1.0) return successes == trials ? 1.0 : 0.0;
  const double log_ways =
      std::lgamma(trials + 1.0) - std::lgamma(successes + 1.0) - std::lgamma(trials - successes + 1.0);
  return std::exp(log_ways + successes * std::log(chance) + (trials - successes) * std::log1p(-chance));
}

double BinomialTest(int successes, int trials, double chance) {
  if (trials <= 0) return 1.0;
  constexpr double kRounding = 1.0 + 1e-7;  // outcomes as likely as the one seen must not be lost to it
  const double limit = kRounding * BinomialProbability(successes, trials, chance);
  double sum = 0.0;
  for (int i = 0; i <= trials; ++i) {
    const double probability = BinomialProbability(i, trials, chance);
    if (probability <= limit) sum += probability;
  }
  return std::min(1.0, sum);
}

}  // namespace loftline::accuracy
