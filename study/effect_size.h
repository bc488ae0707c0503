// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <optional>
#include <vector>

namespace loftline {

// Hedges' g, OTHER minus ONE over the root mean square of both spreads, corrected for few values (J. Educ. Stat. 6
// (1981) 107), with the 95 % interval that the noncentral t distribution gives for the t and df of Welch's test. The
// interval is that of the true effect and stays without the correction, which belongs to the estimate alone. Its std is
// what a normal distribution of such an interval would have. Nothing where it cannot be had: a group of fewer than two,
// no spread, or no more than one degree of freedom (two values each, one pair of them equal).
std::optional<Estimate> EffectSize(const std::vector<double>& one, const std::vector<double>& other);

}  // namespace loftline
