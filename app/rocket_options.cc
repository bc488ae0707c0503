// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/rocket_options.h"

namespace loftline {
namespace {

// What is taken where no "+-" was written: a kitchen scale that shows 0.1 g, on 8 g, and a ruler that shows half a
// millimetre, on 25 mm. Our own judgement; --help says it.
constexpr double kMassRelativeStd = 0.01;
constexpr double kDiameterRelativeStd = 0.02;

}  // namespace

void RocketOptions::AddTo(CommandLine* line) {
  line->Group("Rocket (without these: no drag coefficient, no launch energy)");
  line->Optional("--mass", &mass_, "\"8.2 g +- 0.1 g\"; without +- it is taken as good to 1 %");
  line->Optional("--diameter", &diameter_, "Of the body: \"7/8 in\"; without +- it is taken as good to 2 %");
}

void RocketOptions::Read(OptionValues* values,
                         std::optional<Measured>* mass_kg,
                         std::optional<Measured>* diameter_m) const {
  *mass_kg = values->TakePositive("--mass", mass_, Dimension::kMass, kMassRelativeStd);
  *diameter_m = values->TakePositive("--diameter", diameter_, Dimension::kLength, kDiameterRelativeStd);
}

}  // namespace loftline
