// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/unit_table.h"

#include <algorithm>
#include <array>
#include <numbers>

namespace loftline {
namespace {

// Exact by definition: yard and pound by the agreement of 1959, standard gravity by the 3rd CGPM of 1901.
constexpr double kYard = 0.9144;
constexpr double kFoot = kYard / 3;
constexpr double kInch = kYard / 36;
constexpr double kPound = 0.45359237;
constexpr double kStandardGravity = 9.80665;
// Conventional millimetre of mercury (NIST SP 811, appendix B.8): 13.5951 kg/dm3 under standard gravity.
constexpr double kMercuryMillimetre = 13.5951 * kStandardGravity;
constexpr double kDegree = std::numbers::pi / 180;

using enum Dimension;

constexpr auto kUnits = std::to_array<Unit>({
    {"m", kLength, 1},
    {"mm", kLength, 1e-3, 0, false},
    {"cm", kLength, 1e-2},
    {"dm", kLength, 1e-1},
    {"km", kLength, 1e3},
    {"um", kLength, 1e-6},
    {"in", kLength, kInch},
    {"ft", kLength, kFoot},
    {"yd", kLength, kYard},
    {"\"", kLength, kInch},
    {"'", kLength, kFoot},
    {"inch", kLength, kInch},
    {"inches", kLength, kInch},
    {"foot", kLength, kFoot},
    {"feet", kLength, kFoot},
    {"yard", kLength, kYard},
    {"yards", kLength, kYard},
    {"metre", kLength, 1},
    {"metres", kLength, 1},
    {"meter", kLength, 1},
    {"meters", kLength, 1},

    {"g", kMass, 1e-3},
    {"kg", kMass, 1},
    {"mg", kMass, 1e-6, 0, false},
    {"oz", kMass, kPound / 16},
    {"lb", kMass, kPound},
    {"lbs", kMass, kPound},
    {"grains", kMass, kPound / 7000},
    {"gram", kMass, 1e-3},
    {"grams", kMass, 1e-3},

    {"s", kTime, 1},
    {"ms", kTime, 1e-3, 0, false},
    {"us", kTime, 1e-6},
    {"min", kTime, 60},
    {"sec", kTime, 1},
    {"second", kTime, 1},
    {"seconds", kTime, 1},

    {"degC", kTemperature, 1, 273.15},
    {"C", kTemperature, 1, 273.15},
    {"degF", kTemperature, 5.0 / 9, 459.67 * 5 / 9},
    {"F", kTemperature, 5.0 / 9, 459.67 * 5 / 9},
    {"K", kTemperature, 1},

    {"hPa", kPressure, 1e2},
    {"Pa", kPressure, 1},
    {"kPa", kPressure, 1e3},
    {"mbar", kPressure, 1e2},
    {"bar", kPressure, 1e5},
    {"mb", kPressure, 1e2, 0, false},
    {"inHg", kPressure, kMercuryMillimetre * 25.4},
    {"mmHg", kPressure, kMercuryMillimetre},
    {"torr", kPressure, 101325.0 / 760},
    {"psi", kPressure, kPound* kStandardGravity / (kInch * kInch)},
    {"atm", kPressure, 101325},

    {"m/s", kSpeed, 1},
    {"km/h", kSpeed, 1 / 3.6},
    {"kph", kSpeed, 1 / 3.6},
    {"mph", kSpeed, kYard * 1760 / 3600},
    {"ft/s", kSpeed, kFoot},
    {"kn", kSpeed, 1852.0 / 3600},
    {"knots", kSpeed, 1852.0 / 3600},

    {"deg", kAngle, kDegree},
    {"rad", kAngle, 1},
    {"mrad", kAngle, 1e-3, 0, false},
    {"degree", kAngle, kDegree},
    {"degrees", kAngle, kDegree},

    {"Hz", kFrequency, 1},
    {"kHz", kFrequency, 1e3},
    {"fps", kFrequency, 1},
    {"1/s", kFrequency, 1},
    {"frames/s", kFrequency, 1},

    {"%", kFraction, 1e-2},
});

struct DimensionText {
  Dimension dimension;
  std::string_view name, example;
};

constexpr auto kDimensions = std::to_array<DimensionText>({
    {kLength, "a length", "10 m"},
    {kMass, "a mass", "8.2 +- 0.1 g"},
    {kTime, "a time", "16 ms"},
    {kTemperature, "a temperature", "18 degC"},
    {kPressure, "a pressure", "1009 hPa"},
    {kSpeed, "a speed", "25 m/s"},
    {kAngle, "an angle", "60 deg"},
    {kFrequency, "a rate", "240 Hz"},
    {kPureNumber, "a plain number", "0.5 +- 0.02"},
    {kFraction, "a percentage", "60 %"},
});

const DimensionText& TextOf(Dimension dimension) {
  return *std::ranges::find(kDimensions, dimension, &DimensionText::dimension);
}

bool SameWithoutCase(std::string_view left, std::string_view right) {
  const auto lower = [](char letter) { return letter >= 'A' && letter <= 'Z' ? letter + ('a' - 'A') : +letter; };
  return std::ranges::equal(left, right, {}, lower, lower);
}

}  // namespace

std::span<const Unit> AllUnits() {
  return kUnits;
}

const Unit* FindUnit(std::string_view name, Dimension dimension) {
  for (const Unit& unit : kUnits) {
    if (unit.dimension == dimension && unit.name == name) return &unit;
  }
  for (const Unit& unit : kUnits) {
    if (unit.dimension == dimension && unit.any_case && SameWithoutCase(unit.name, name)) return &unit;
  }
  return nullptr;
}

std::string_view DimensionName(Dimension dimension) {
  return TextOf(dimension).name;
}

std::string UnitNames(Dimension dimension) {
  std::string names;
  for (const Unit& unit : kUnits) {
    if (unit.dimension != dimension) continue;
    if (!names.empty()) names += ", ";
    names += unit.name;
  }
  return names.empty() ? "no unit" : names;
}

std::string_view ExampleOf(Dimension dimension) {
  return TextOf(dimension).example;
}

}  // namespace loftline
