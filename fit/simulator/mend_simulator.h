// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/aligned_path.h"
#include "fit/simulator/equivalent_motion.h"
#include "fit/simulator/path_error.h"
#include "fit/simulator/validation.h"

#include <vector>

namespace loftline {

// What would bring the simulator's path to the footage: its drag, launch speed, launch angle or wind changed, each
// alone, by generalised least squares over the ways in which the footage tells paths apart. The simulator itself cannot
// be run again, so its change is that of the EQUIVALENT motion. The best comes first. None where there is no
// equivalent. LAUNCH_AS_MEASURED: only what the footage did not give it.
std::vector<Mend> MendsOf(const PathError& error,
                          const ToldApart& told,
                          const AlignedPath& aligned,
                          const FittedMotion& motion,
                          const EquivalentMotion& equivalent,
                          bool launch_as_measured);

// A path whose chi-square is less likely than that disagrees.
inline constexpr double kLeastProbability = 0.05;

}  // namespace loftline
