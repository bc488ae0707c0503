// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/units.h"

#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

struct Factor {
  const char* text;
  Dimension dimension;
  double si;
};

double ValueOf(const Factor& factor) {
  const Expected<Quantity> quantity = ParseQuantity(factor.text, factor.dimension);
  if (!quantity) ADD_FAILURE() << Describe(quantity.error());
  return quantity ? quantity->value : NAN;
}

// Exact by definition: "Refinement of values for the yard and the pound", U.S. Federal Register, 1 July 1959 (1 yard =
// 0.9144 m, 1 pound avoirdupois = 0.453 592 37 kg), as stated in NIST SP 811 (2008), appendix B.6. 7000 grains, or 16
// ounces, are a pound: NIST Handbook 44, appendix C. The nautical mile of 1852 m and the standard atmosphere: SP 811,
// B.8.
TEST(UnitFactors, AgreeWithExactDefinitions) {
  const Factor factors[] = {
      {"1 yd", Dimension::kLength, 0.9144},
      {"1 ft", Dimension::kLength, 0.3048},
      {"1 in", Dimension::kLength, 0.0254},
      {"1 lb", Dimension::kMass, 0.45359237},
      {"1 oz", Dimension::kMass, 0.45359237 / 16},
      {"7000 grains", Dimension::kMass, 0.45359237},
      {"1 mph", Dimension::kSpeed, 0.44704},
      {"1 kn", Dimension::kSpeed, 1852.0 / 3600},
      {"1 atm", Dimension::kPressure, 101325},
      {"0 degC", Dimension::kTemperature, 273.15},
      {"32 F", Dimension::kTemperature, 273.15},
      {"212 degF", Dimension::kTemperature, 373.15},
      {"180 deg", Dimension::kAngle, 3.14159265358979323846},
  };
  for (const Factor& factor : factors) EXPECT_NEAR(ValueOf(factor), factor.si, 4e-16 * factor.si) << factor.text;
}

// NIST SP 811 (2008), appendix B.8, seven digits as printed there; read from memory and each recomputed from the exact
// definitions above, the conventional mercury density of 13.5951 g/cm3 and standard gravity.
TEST(UnitFactors, AgreeWithNistSp811) {
  const Factor factors[] = {
      {"1 oz", Dimension::kMass, 2.834952e-2},
      {"1 grains", Dimension::kMass, 6.479891e-5},
      {"1 km/h", Dimension::kSpeed, 2.777778e-1},
      {"1 kn", Dimension::kSpeed, 5.144444e-1},
      {"1 ft/s", Dimension::kSpeed, 3.048e-1},
      {"1 psi", Dimension::kPressure, 6.894757e3},
      {"1 inHg", Dimension::kPressure, 3.386389e3},
      {"1 mmHg", Dimension::kPressure, 1.333224e2},
      {"1 torr", Dimension::kPressure, 1.333224e2},
      {"1 mbar", Dimension::kPressure, 1e2},
      {"1 deg", Dimension::kAngle, 1.745329e-2},
  };
  constexpr double kHalfALastDigit = 5e-7;
  for (const Factor& factor : factors) {
    EXPECT_NEAR(ValueOf(factor), factor.si, kHalfALastDigit * factor.si) << factor.text;
  }
}

// Prefixes: BIPM, The International System of Units, 9th edition (2019), table 7.
TEST(UnitFactors, AgreeWithSiPrefixes) {
  const Factor factors[] = {
      {"1 km", Dimension::kLength, 1e3},
      {"1 dm", Dimension::kLength, 1e-1},
      {"1 cm", Dimension::kLength, 1e-2},
      {"1 mm", Dimension::kLength, 1e-3},
      {"1 µm", Dimension::kLength, 1e-6},
      {"1 kg", Dimension::kMass, 1},
      {"1 g", Dimension::kMass, 1e-3},
      {"1 mg", Dimension::kMass, 1e-6},
      {"1 ms", Dimension::kTime, 1e-3},
      {"1 us", Dimension::kTime, 1e-6},
      {"1 kPa", Dimension::kPressure, 1e3},
      {"1 hPa", Dimension::kPressure, 1e2},
      {"1 kHz", Dimension::kFrequency, 1e3},
      {"1 mrad", Dimension::kAngle, 1e-3},
      {"1 min", Dimension::kTime, 60},
  };
  for (const Factor& factor : factors) EXPECT_DOUBLE_EQ(ValueOf(factor), factor.si) << factor.text;
}

}  // namespace
}  // namespace loftline
