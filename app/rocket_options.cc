// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/rocket_options.h"

#include "fit/monte_carlo_intervals.h"
#include "fit/rocket_defaults.h"

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr int kMostDraws = 1000000;

}  // namespace

void RocketOptions::AddTo(CommandLine* line) {
  line->Group("Rocket (without these: no drag coefficient, no launch energy)");
  line->Optional("--mass", &mass_, "\"8.2 g +- 0.1 g\"; without +- it is taken as good to 1 %");
  line->Optional("--diameter", &diameter_, "Of the body: \"7/8 in\"; without +- it is taken as good to 2 %");
  line->Flag("--ball", &ball_, "It is a smooth ball, whose drag coefficient follows the Reynolds number");
  line->Group("Uncertainty");
  line->Flag("--explain", &explain_, "Also print where the uncertainty comes from, and how to shrink it");
  line->Number("--monte-carlo",
               &monte_carlo_draws_,
               "Find the intervals by fitting so many flights with errors drawn anew (1000 is good)");
}

void RocketOptions::Read(OptionValues* values, FitOptions* options) const {
  options->mass_kg = values->TakePositive("--mass", mass_, Dimension::kMass, kMassRelativeStd);
  options->diameter_m = values->TakePositive("--diameter", diameter_, Dimension::kLength, kDiameterRelativeStd);
  options->ball = ball_;
  options->monte_carlo_draws = monte_carlo_draws_;
  if (ball_ && !diameter_) {
    values->Reject("--ball", "A ball's drag hangs on its diameter, which was not given.", "Give --diameter too.");
  }
  if (monte_carlo_draws_ != 0 && (monte_carlo_draws_ < kFewestDraws || monte_carlo_draws_ > kMostDraws)) {
    values->Reject("--monte-carlo",
                   fmt::format("It must be from {} to {}, or 0 for none.", kFewestDraws, kMostDraws),
                   "1000 is a good number: it takes some seconds.");
  }
}

}  // namespace loftline
