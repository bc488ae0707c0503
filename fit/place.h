// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/assumed.h"
#include "calibrate/survey.h"
#include "core/measured.h"

#include <vector>

namespace loftline {

// Air and gravity where the rocket flies.
struct Place {
  Measured air_density_kg_per_m3;
  double air_viscosity_pa_s = 1.8e-5;
  double gravity_m_per_s2 = 9.80665;
  double gravity_std_m_per_s2 = 0.0;  // where the latitude is not known
};

// From what a survey says of the air and the site; what it leaves open is usual, and listed in ASSUMED.
Place PlaceOf(const AirEvidence& air, std::vector<Assumed>* assumed);
// The launch point's height above the landing level, as given or usual.
Measured HeightAboveLandingM(const LaunchEvidence& launch, std::vector<Assumed>* assumed);

}  // namespace loftline
