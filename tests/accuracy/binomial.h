// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline::accuracy {

// Probability of exactly SUCCESSES of TRIALS, each with chance CHANCE in 0..1.
double BinomialProbability(int successes, int trials, double chance);

// The exact two-sided test: the probability, when each trial succeeds with CHANCE, of an outcome that is no likelier
// than the one seen. 1 where there were no trials.
double BinomialTest(int successes, int trials, double chance);

}  // namespace loftline::accuracy
