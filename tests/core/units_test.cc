// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/units.h"

#include <cmath>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using enum Dimension;
using testing::HasSubstr;

struct GoodCase {
  const char* text;
  Dimension dimension;
  double value;
  std::optional<double> std = {};
};

const GoodCase kGood[] = {
    {"10 m", kLength, 10},
    {"10m", kLength, 10},
    {"  10   m  ", kLength, 10},
    {"10 metres", kLength, 10},
    {"+10 m", kLength, 10},
    {"-0.5 m", kLength, -0.5},
    {"\u22120.5 m", kLength, -0.5},
    {".5 m", kLength, 0.5},
    {"5. m", kLength, 5},
    {"1e-3 km", kLength, 1},
    {"1E2 cm", kLength, 1},
    {"33 ft", kLength, 33 * 0.3048},
    {"33 Feet", kLength, 33 * 0.3048},
    {"33'", kLength, 33 * 0.3048},
    {"7/8 in", kLength, 0.022225},
    {"7/8\"", kLength, 0.022225},
    {"7⁄8 in", kLength, 0.022225},
    {"⅞ in", kLength, 0.022225},
    {"1 1/2 in", kLength, 0.0381},
    {"1-1/2 in", kLength, 0.0381},
    {"1½ in", kLength, 0.0381},
    {"-1 1/2 in", kLength, -0.0381},
    {"32 ft 10 in", kLength, 32 * 0.3048 + 0.254},
    {"32' 10\"", kLength, 32 * 0.3048 + 0.254},
    {"32′ 10½″", kLength, 32 * 0.3048 + 0.2667},
    {"-5 ft 6 in", kLength, -1.6764},
    {"1 m 20 cm", kLength, 1.2},
    {"32 ft 10 in +- 1/4 in", kLength, 32 * 0.3048 + 0.254, 0.00635},
    {"10 m ± 5 mm", kLength, 10, 0.005},
    {"10 \u00b1 0.005\u00a0m", kLength, 10, 0.005},
    {"8.2g", kMass, 0.0082},
    {"8.2 +- 0.1 g", kMass, 0.0082, 0.0001},
    {"8.2 ± 0.1 g", kMass, 0.0082, 0.0001},
    {"8.2±0.1g", kMass, 0.0082, 0.0001},
    {"8.2 +/- 0.1 g", kMass, 0.0082, 0.0001},
    {"8.2 g +- 0.1", kMass, 0.0082, 0.0001},
    {"8.2 g +- 100 mg", kMass, 0.0082, 0.0001},
    {"8.2 g +- 2 %", kMass, 0.0082, 0.000164},
    {"8,2 g", kMass, 0.0082},
    {"8,2 ± 0,1 g", kMass, 0.0082, 0.0001},
    {"0,005 kg", kMass, 0.005},
    {"1234,567 g", kMass, 1.234567},
    {"1 lb 2 oz", kMass, 0.45359237 * 18 / 16},
    {"16 ms", kTime, 0.016},
    {"16 ms ± 4 ms", kTime, 0.016, 0.004},
    {"18 °C", kTemperature, 291.15},
    {"18°C", kTemperature, 291.15},
    {"18 C", kTemperature, 291.15},
    {"18 deg C", kTemperature, 291.15},
    {"18 ± 2 °C", kTemperature, 291.15, 2},
    {"64 F", kTemperature, 290.9277777777778},
    {"64 ± 9 °F", kTemperature, 290.9277777777778, 5},
    {"-40 F", kTemperature, 233.15},
    {"\u221240 °C", kTemperature, 233.15},
    {"18 °C ± 2 K", kTemperature, 291.15, 2},
    {"1009 hPa", kPressure, 100900},
    {"1009 hpa", kPressure, 100900},
    {"1009,25 hPa", kPressure, 100925},
    {"29.8 inHg", kPressure, 29.8 * 25.4 * 133.322387415},
    {"29.8 in Hg", kPressure, 29.8 * 25.4 * 133.322387415},
    {"25 m/s", kSpeed, 25},
    {"90 km/h", kSpeed, 25},
    {"60°", kAngle, 1.0471975511965976},
    {"60 deg ± 1 deg", kAngle, 1.0471975511965976, 0.017453292519943295},
    {"240 Hz", kFrequency, 240},
    {"240 fps", kFrequency, 240},
    {"240 1/s", kFrequency, 240},
    {"30000/1001 Hz", kFrequency, 30000.0 / 1001},
    {"0.5", kPureNumber, 0.5},
    {"0.5 +- 0.02", kPureNumber, 0.5, 0.02},
    {"60 %", kFraction, 0.6},
    {"60 ± 5 %", kFraction, 0.6, 0.05},
};

TEST(ParseQuantity, ReadsWhatPeopleWrite) {
  for (const GoodCase& one : kGood) {
    SCOPED_TRACE(one.text);
    const Expected<Quantity> quantity = ParseQuantity(one.text, one.dimension);
    if (!quantity) {
      ADD_FAILURE() << Describe(quantity.error());
      continue;
    }
    EXPECT_NEAR(quantity->value, one.value, 1e-11 * std::abs(one.value));
    ASSERT_EQ(quantity->std.has_value(), one.std.has_value());
    if (one.std) {
      EXPECT_NEAR(*quantity->std, *one.std, 1e-11 * *one.std);
    }
  }
}

struct BadCase {
  const char* text;
  Dimension dimension;
  const char* says;
};

const BadCase kBad[] = {
    {"", kLength, "empty"},
    {"   ", kLength, "empty"},
    {"10", kLength, "no unit"},
    {"8.2 +- 0.1", kMass, "no unit"},
    {"m", kLength, "number is expected"},
    {"ten m", kLength, "number is expected"},
    {"10 kg", kLength, "the unit of a mass"},
    {"10 m", kMass, "the unit of a length"},
    {"10 furlongs", kLength, "not known"},
    {"10 Mm", kLength, "not known"},
    {"8 Mg", kMass, "not known"},
    {"10 m!", kLength, "not known"},
    {"10 m m", kLength, "not known"},
    {"10 - m", kLength, "not known"},
    {"--10 m", kLength, "number is expected"},
    {"1.2.3 m", kLength, "no number"},
    {"1..2 m", kLength, "no number"},
    {"1,013 hPa", kPressure, "comma"},
    {"12,345.6 m", kLength, "comma"},
    {"1,2,3 m", kLength, "comma"},
    {"8,200 g", kMass, "comma"},
    {"7/0 in", kLength, "not known"},
    {"7/ in", kLength, "not known"},
    {"1.5 1/2 in", kLength, "no unit"},
    {"1e999 m", kLength, "too large"},
    {"1e-999 m", kLength, "too small"},
    {"1e308 km", kLength, "too large"},
    {"nan m", kLength, "number is expected"},
    {"inf m", kLength, "number is expected"},
    {"-inf m", kLength, "number is expected"},
    {"0x10 m", kLength, "not known"},
    {"10 m +-", kLength, "missing beside"},
    {"+- 1 m", kLength, "missing beside"},
    {"10 m +- 0 m", kLength, "above zero"},
    {"10 m +- -1 m", kLength, "above zero"},
    {"10 m +- -1 %", kLength, "above zero"},
    {"10 m +- 1 kg", kLength, "the unit of a mass"},
    {"10 +- 1 +- 1 m", kLength, "more than one"},
    {"10 m 5 kg", kLength, "the unit of a mass"},
    {"10 in 5 ft", kLength, "smaller"},
    {"5 ft 13 in", kLength, "smaller"},
    {"5 ft 6 in 2 mm", kLength, "left over"},
    {"5 ft 6 in +- 1", kLength, "needs its unit"},
    {"18 °C 3 K", kTemperature, "smaller"},
    {"-300 °C", kTemperature, "absolute zero"},
    {"-1 K", kTemperature, "absolute zero"},
    {"18 °C +- 5 %", kTemperature, "percentage"},
    {"0.5 m", kPureNumber, "no unit is expected"},
    {"60", kFraction, "no unit"},
    {"10 メートル", kLength, "no place here"},
    {"10 m\xFF", kLength, "UTF-8"},
    {"<script>", kLength, "number is expected"},
    {"; rm -r", kMass, "number is expected"},
};

TEST(ParseQuantity, RefusesNonsenseAndSaysWhy) {
  for (const BadCase& one : kBad) {
    SCOPED_TRACE(one.text);
    const Expected<Quantity> quantity = ParseQuantity(one.text, one.dimension);
    if (quantity) {
      ADD_FAILURE() << "was read as " << quantity->value;
      continue;
    }
    EXPECT_EQ(quantity.error().code, "bad-quantity");
    EXPECT_EQ(quantity.error().kind, ErrorKind::kInvalidInput);
    EXPECT_THAT(quantity.error().message, HasSubstr(one.says));
    EXPECT_THAT(quantity.error().advice, HasSubstr("Write it like"));
  }
}

TEST(ParseQuantity, NamesTextAndUnderstoodUnits) {
  const Error error = ParseQuantity("8.2", kMass).error();
  EXPECT_EQ(error.message, "\"8.2\" cannot be read as a mass: it has no unit.");
  EXPECT_THAT(error.advice, HasSubstr("\"8.2 +- 0.1 g\""));
  EXPECT_THAT(error.advice, HasSubstr("g, kg, mg, oz, lb"));
}

TEST(ParseQuantity, EveryExampleInItsOwnAdviceIsRead) {
  for (const Dimension dimension :
       {kLength, kMass, kTime, kTemperature, kPressure, kSpeed, kAngle, kFrequency, kPureNumber, kFraction}) {
    const std::string advice = ParseQuantity("?", dimension).error().advice;
    const std::size_t open = advice.find('"');
    const std::string example = advice.substr(open + 1, advice.find('"', open + 1) - open - 1);
    EXPECT_TRUE(ParseQuantity(example, dimension)) << example;
  }
}

TEST(ParseQuantity, RefusesEndlessText) {
  EXPECT_THAT(ParseQuantity(std::string(1000000, '1') + " m", kLength).error().message, HasSubstr("too long"));
}

}  // namespace
}  // namespace loftline
