// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

namespace loftline {

struct Air {
  double temperature_c = 15.0;
  double pressure_pa = 101325.0;
  double relative_humidity = 0.5;  // 0..1
};

// Density of moist air by CIPM-2007 (Picard, Davis, Glaeser & Fujii, Metrologia 45 (2008) 149, eqs. (1), (2) and
// appendix A1, 400 ppm of CO2), stated for 15..27 C and 600..1100 hPa and used here beyond that, where it stays within
// 0.1 %. Dry air would be simpler, but is 1.3 % too dense at 30 C and 80 % humidity, and that goes straight into the
// drag coefficient.
double AirDensityKgPerM3(const Air& air);

// Dynamic viscosity of air by Sutherland's law with the constants of the U.S. Standard Atmosphere 1976 (humidity left
// out: below 1 %).
double AirViscosityPaS(double temperature_c);

// Pressure of the standard atmosphere at a geometric altitude (ISO 2533:1975, below 11 km).
double StandardPressurePa(double altitude_m);

// Temperature of the standard atmosphere, kelvin, and its density, at a geometric altitude (ISO 2533:1975, below 11
// km).
double StandardTemperatureK(double altitude_m);
double StandardDensityKgPerM3(double altitude_m);

// Density with the uncertainty that temperature, pressure and humidity (each independent) give it.
struct AirMeasured {
  Measured temperature_c, pressure_pa, relative_humidity;
};
Measured AirDensityKgPerM3(const AirMeasured& air);

}  // namespace loftline
