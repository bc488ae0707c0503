// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/air.h"

#include "core/uncertainty.h"

#include <cmath>

namespace loftline {
namespace {

// ISO 2533:1975, the layer below 11 km.
constexpr double kSeaLevelTemperatureK = 288.15, kSeaLevelPressurePa = 101325.0;
constexpr double kLapseKPerM = -0.0065, kStandardGravityMPerS2 = 9.80665, kEarthRadiusM = 6356766.0;
constexpr double kDryAirGasConstant = 8314.32 / 28.9644;  // J/(kg K)

double GeopotentialM(double altitude_m) {
  return kEarthRadiusM * altitude_m / (kEarthRadiusM + altitude_m);
}

}  // namespace

double AirDensityKgPerM3(const Air& air) {
  const double t = air.temperature_c, T = t + 273.15, p = air.pressure_pa;
  const double saturation_pa = std::exp(1.2378847e-5 * T * T - 1.9121316e-2 * T + 33.93711047 - 6.3431645e3 / T);
  const double enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * t * t;
  const double xv = air.relative_humidity * enhancement * saturation_pa / p;
  const double Z = 1.0 -
                   p / T *
                       (1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t + (5.707e-6 - 2.051e-8 * t) * xv +
                        (1.9898e-4 - 2.376e-6 * t) * xv * xv) +
                   p * p / (T * T) * (1.83e-11 - 0.765e-8 * xv * xv);
  constexpr double kGasConstant = 8.314472;  // J/(mol K), CODATA 2006, as the formula was published
  constexpr double kMolarMassDryAir = 28.96546e-3, kMolarMassWater = 18.01528e-3;  // kg/mol
  return p * kMolarMassDryAir / (Z * kGasConstant * T) * (1.0 - xv * (1.0 - kMolarMassWater / kMolarMassDryAir));
}

double AirViscosityPaS(double temperature_c) {
  const double temperature_k = temperature_c + 273.15;
  return 1.458e-6 * std::pow(temperature_k, 1.5) / (temperature_k + 110.4);
}

double StandardTemperatureK(double altitude_m) {
  return kSeaLevelTemperatureK + kLapseKPerM * GeopotentialM(altitude_m);
}

double StandardPressurePa(double altitude_m) {
  const double exponent = -kStandardGravityMPerS2 / (kDryAirGasConstant * kLapseKPerM);
  return kSeaLevelPressurePa * std::pow(StandardTemperatureK(altitude_m) / kSeaLevelTemperatureK, exponent);
}

double StandardDensityKgPerM3(double altitude_m) {
  return StandardPressurePa(altitude_m) / (kDryAirGasConstant * StandardTemperatureK(altitude_m));
}

Measured AirDensityKgPerM3(const AirMeasured& air) {
  const VectorFunction density = [](const Eigen::VectorXd& x) {
    return Eigen::VectorXd::Constant(1, AirDensityKgPerM3(Air{x[0], x[1], x[2]}));
  };
  const Propagated propagated = Propagate(density,
                                          {{"temperature", air.temperature_c.value, air.temperature_c.std},
                                           {"pressure", air.pressure_pa.value, air.pressure_pa.std},
                                           {"humidity", air.relative_humidity.value, air.relative_humidity.std}});
  return {propagated.values[0], propagated.Std(0)};
}

}  // namespace loftline
