// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <optional>
#include <string_view>

namespace loftline {

enum class Dimension {
  kLength,
  kMass,
  kTime,
  kTemperature,
  kPressure,
  kSpeed,
  kAngle,
  kFrequency,
  kPureNumber,
  kFraction,  // "60 %" gives 0.6
};

// A quantity as somebody wrote it, in SI units (m, kg, s, K, Pa, m/s, rad, Hz, 1).
struct Quantity {
  double value = 0.0;
  std::optional<double> std;  // standard uncertainty, where one was written
};

// Reads "10 m", "33 ft", "7/8 in", "1 1/2 in", "32 ft 10 in", "8.2 +- 0.1 g", "8.2 ± 0.1 g", "8.2 g +- 100 mg",
// "8.2 g +- 2 %", "18 °C", "1009 hPa". A decimal comma is taken where it cannot part thousands: "8,2 g" but not "1,013
// hPa". A number without a unit is an error except for kPureNumber: the error says which units are understood. What
// stands after the sign is taken as one standard uncertainty; it must be above zero. The value's own sign and size are
// the caller's to judge, except that nothing is colder than absolute zero.
// Errors: "bad-quantity" (kInvalidInput) naming the text, what was wrong with it, and an example.
Expected<Quantity> ParseQuantity(std::string_view text, Dimension dimension);

}  // namespace loftline
