// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "core/finding.h"
#include "core/run_control.h"
#include "fit/attempt.h"

#include <optional>

namespace loftline {

// Gravity measures lengths and times too: what falls by itself shows how long a metre is, if seconds are right, and how
// long a second, if metres are.

// True metres over the survey's metres, by a polynomial through the points and no more: good to some 10 % where the arc
// bends. Nothing where it does not.
std::optional<double> RoughLengthRatio(const FitInputs& inputs);

// The flight with the survey's scale left out, from the solution with it.
Attempt SolveByGravity(const FitInputs& inputs,
                       const Attempt& by_survey,
                       const FitOptions& options,
                       const RunControl& control);

// Why the clip's seconds cannot be true ("time-base-suspect"), where things fall too slowly by about the square of a
// whole number: slow motion whose rate nobody gave; or too fast, because of a rate that is not the clip's.
// ROUGH_RATIO: of RoughLengthRatio.
std::optional<Error> CheckTimeBase(const FitInputs& inputs,
                                   double rough_ratio,
                                   const FitOptions& options,
                                   const RunControl& control);

// Whether gravity's metres and the survey's differ by more than three combined standard uncertainties.
bool RulersApart(const Measured& length_ratio);

// The finding "rulers-disagree": what would have to be wrong for gravity's metres to be RATIO times the survey's, the
// likeliest cause first. DISTANCE_M: of the camera, by the survey.
Finding RulersDisagree(const Survey& survey, const Measured& length_ratio, double distance_m);

}  // namespace loftline
