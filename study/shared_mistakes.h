// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"
#include "study/group_mean.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace loftline {

// A value of one flight, of whose standard uncertainty some parts are not its own: a mistake of the survey, say, that
// is the same in all flights of that survey.
struct SharedValue {
  Measured value;                        // with all of its uncertainty
  std::map<std::string, double> shared;  // standard uncertainty by the mistake's name; names that are equal are one
};

struct SharedMean {
  GroupMean mean;                    // weighed by the values' own uncertainties alone
  double own_std = 0.0;              // the median of those
  double scatter_p = 1.0;            // of a scatter as large, if there were nothing but those
  std::optional<Estimate> estimate;  // from two values on: with the shared mistakes, and their interval of 95 %
  double p = 1.0;                    // of a mean as far from zero, if the true one were zero
};

// The mean of values with mistakes in common. Value i holds c_i u of a mistake u, standard normal; the mean's variance
// (study/group_mean.h) is never taken for less than the values' own uncertainties make it, though
// they agree better by chance; it gains the sum over mistakes of C^2, C = sum c_i / n, less what of it shows in the
// scatter, (sum c_i^2 - n sum C^2) / ((n - 1) n). A mistake that no two values share is that value's own. Degrees of
// freedom: n
// - 1 of the scatter, infinite of the shared part, by Welch and Satterthwaite.
SharedMean MeanWithSharedMistakes(const std::vector<SharedValue>& values);

// Holm's p values of a family of tests (Scand. J. Stat. 6 (1979) 65), in the order of P.
std::vector<double> HolmAdjusted(const std::vector<double>& p);

}  // namespace loftline
