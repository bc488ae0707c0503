// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/runs_test.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace loftline {
namespace {

constexpr int kCountedUpTo = 20;  // values on the rarer side

double LogChoose(int of, int chosen) {
  if (chosen < 0 || chosen > of) return -INFINITY;
  return std::lgamma(of + 1.0) - std::lgamma(chosen + 1.0) - std::lgamma(of - chosen + 1.0);
}

// Share of all arrangements that have exactly RUNS runs: RUNS/2 of either side, one more of one side if odd.
double ShareWithRuns(int above, int below, int runs) {
  const double all = LogChoose(above + below, above);
  const int half = runs / 2;
  const auto ways = [&](int above_runs, int below_runs) {
    return std::exp(LogChoose(above - 1, above_runs - 1) + LogChoose(below - 1, below_runs - 1) - all);
  };
  return runs % 2 == 0 ? 2 * ways(half, half) : ways(half, half + 1) + ways(half + 1, half);
}

int MostRuns(int above, int below) {
  return 2 * std::min(above, below) + (above == below ? 0 : 1);
}

void CountArrangements(RunsTest* test) {
  double fewer = 0.0, equal = 0.0, more = 0.0;
  for (int runs = 2; runs <= MostRuns(test->above, test->below); ++runs) {
    const double share = ShareWithRuns(test->above, test->below, runs);
    (runs < test->runs ? fewer : runs == test->runs ? equal : more) += share;
  }
  test->p_too_few = std::min(1.0, fewer + equal);
  test->p_two_sided = std::min(1.0, 2 * std::min(fewer, more) + 2 * equal);
}

}  // namespace

RunsTest TestRunCounts(int above, int below, int runs) {
  const bool one_side = above == 0 || below == 0;
  const int fewest = one_side ? (above + below > 0 ? 1 : 0) : 2;
  if (above < 0 || below < 0 || runs < fewest || runs > MostRuns(above, below)) {
    throw std::invalid_argument("so many values cannot form so many runs");
  }
  RunsTest test;
  test.above = above;
  test.below = below;
  test.runs = runs;
  if (one_side) {
    test.expected_runs = runs;
    return test;
  }
  const double total = above + below, twice = 2.0 * above * below;
  test.expected_runs = twice / total + 1;
  test.std_runs = std::sqrt(twice * (twice - total) / (total * total * (total - 1)));
  if (test.std_runs > 0) test.z = (runs - test.expected_runs) / test.std_runs;
  if (std::min(above, below) <= kCountedUpTo) {
    CountArrangements(&test);
  } else {
    test.p_too_few = std::erfc(-test.z / std::sqrt(2.0)) / 2;
    test.p_two_sided = std::erfc(std::abs(test.z) / std::sqrt(2.0));
  }
  return test;
}

RunsTest TestRuns(const std::vector<double>& values, double middle) {
  int above = 0, below = 0, runs = 0, side = 0;
  for (const double value : values) {
    const int now = value > middle ? 1 : value < middle ? -1 : 0;
    if (now == 0) continue;
    (now > 0 ? above : below) += 1;
    if (now != side) ++runs;
    side = now;
  }
  return TestRunCounts(above, below, runs);
}

}  // namespace loftline
