// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/place.h"

#include "calibrate/survey_defaults.h"
#include "fit/air.h"
#include "fit/given_or_usual.h"
#include "fit/gravity.h"

#include <cmath>

namespace loftline {

namespace defaults = survey_defaults;

Place PlaceOf(const AirEvidence& air, std::vector<Assumed>* assumed) {
  const Measured temperature_c = GivenOrUsual(
      air.temperature_c, defaults::kGivenTemperatureStdC, defaults::kTemperatureC, "air temperature", " °C", assumed);
  const Measured humidity = GivenOrUsual(
      air.humidity_percent, defaults::kGivenHumidityStdPercent, defaults::kHumidityPercent, "humidity", " %", assumed);
  const Measured elevation_m =
      GivenOrUsual(air.elevation_m, defaults::kGivenElevationStdM, defaults::kElevationM, "elevation", " m", assumed);
  const Measured latitude_deg = GivenOrUsual(air.latitude_deg, 0.5, defaults::kLatitudeDeg, "latitude", "°", assumed);
  const double standard_pa = StandardPressurePa(elevation_m.value);
  const double by_elevation_pa = standard_pa - StandardPressurePa(elevation_m.value + elevation_m.std);
  const Measured pressure_hpa =
      GivenOrUsual(air.pressure_hpa,
                   defaults::kGivenPressureStdHpa,
                   {standard_pa / 100.0, std::hypot(defaults::kWeatherPressureStdHpa, by_elevation_pa / 100.0)},
                   "air pressure",
                   " hPa",
                   assumed);
  Place place;
  place.air_density_kg_per_m3 = AirDensityKgPerM3(AirMeasured{temperature_c,
                                                              {100.0 * pressure_hpa.value, 100.0 * pressure_hpa.std},
                                                              {humidity.value / 100.0, humidity.std / 100.0}});
  place.air_viscosity_pa_s = AirViscosityPaS(temperature_c.value);
  const auto gravity_m_per_s2 = [](double of_latitude_deg, double of_elevation_m) {
    return GravityMPerS2(RadFromDeg(of_latitude_deg), of_elevation_m);
  };
  place.gravity_m_per_s2 = gravity_m_per_s2(latitude_deg.value, elevation_m.value);
  // Half the change from one standard uncertainty below to one above: at the poles the slope says nothing.
  const double by_latitude = gravity_m_per_s2(latitude_deg.value + latitude_deg.std, elevation_m.value) -
                             gravity_m_per_s2(latitude_deg.value - latitude_deg.std, elevation_m.value);
  const double by_elevation = gravity_m_per_s2(latitude_deg.value, elevation_m.value + elevation_m.std) -
                              gravity_m_per_s2(latitude_deg.value, elevation_m.value - elevation_m.std);
  place.gravity_std_m_per_s2 = 0.5 * std::hypot(by_latitude, by_elevation);
  return place;
}

Measured HeightAboveLandingM(const LaunchEvidence& launch, std::vector<Assumed>* assumed) {
  return GivenOrUsual(launch.height_above_landing_m,
                      defaults::kGivenHeightStdM,
                      defaults::kHeightAboveLandingM,
                      "launch point above the landing level",
                      " m",
                      assumed);
}

}  // namespace loftline
