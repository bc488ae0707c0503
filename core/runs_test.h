// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <vector>

namespace loftline {

// Do values scatter about a middle without order? Wald and Wolfowitz's test counts runs: stretches of values on the
// same side. Residuals of a model that bends away from the data make too few (Ann. Math. Statist. 11 (1940) 147;
// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.13).
struct RunsTest {
  int above = 0, below = 0, runs = 0;
  double expected_runs = 0.0, std_runs = 0.0;  // of arrangements without order
  double z = 0.0;                              // (runs - expected)/std; 0 where all lie on one side
  double p_two_sided = 1.0;                    // exact: twice the smaller tail, at most 1
  double p_too_few = 1.0;                      // of so few runs or fewer
};

// Values equal to MIDDLE belong to neither side and are left out.
RunsTest TestRuns(const std::vector<double>& values, double middle = 0.0);

// The same from counts: ABOVE and BELOW at least 0, RUNS as many as they can form, else std::invalid_argument. By
// counting arrangements where the rarer side has at most 20 values (as far as Swed and Eisenhart's tables go, Ann.
// Math. Statist. 14 (1943) 66), beyond by the normal distribution, without correction for continuity, as the handbook.
RunsTest TestRunCounts(int above, int below, int runs);

}  // namespace loftline
