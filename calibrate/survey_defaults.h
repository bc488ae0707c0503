// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

namespace loftline::survey_defaults {

// What is taken where a survey says nothing. Wide on purpose: common practice and our own judgement, no published
// source, except the view angle: phone main cameras of 24 to 28 mm equivalent focal length, cropped for video, see 59
// to 72 degrees across the longer side. Each one used is listed as assumed. docs/formats.md repeats this table for
// users.
constexpr Measured kLongSideViewDeg{65.0, 6.0};
constexpr double kGivenViewStdDeg = 2.0;

constexpr double kRadialStd = 0.02, kGivenRadialStd = 0.005;             // k1, k2
constexpr double kTangentialStd = 0.0005, kGivenTangentialStd = 0.0002;  // p1, p2

constexpr Measured kTiltDeg{0.0, 10.0};
constexpr Measured kRollDeg{0.0, 5.0};
constexpr Measured kYawDeg{0.0, 5.0};
constexpr double kGivenTiltStdDeg = 1.0, kGivenRollStdDeg = 1.0, kGivenYawStdDeg = 3.0;
constexpr double kGivenDistanceRelativeStd = 0.03;

constexpr double kLengthRelativeStd = 0.003;  // a tape that nobody checked: 3 cm on 10 m
constexpr double kMarkStdPx = 1.0;
constexpr double kLaunchMarkStdPx = 2.0;      // where no mark's own uncertainty says how well this person marks
constexpr Measured kDepthOffsetM{0.0, 0.15};  // "in the flight plane", by eye
constexpr double kDirectionStdRad = 0.0015;   // level or plumb, made so with a spirit level: 1.5 cm on 10 m
constexpr double kPointStdM = 0.01;

constexpr Measured kReadoutS{0.016, 0.008};  // reference phones: 7 to 33 ms, recent ones 5 to 20 ms
constexpr double kGivenReadoutStdS = 0.002;

constexpr Measured kWindAlongMPerS{0.0, 0.7};
constexpr double kGivenWindStdMPerS = 0.5;
constexpr Measured kTemperatureC{15.0, 8.0};
constexpr double kGivenTemperatureStdC = 1.0;
constexpr double kGivenPressureStdHpa = 2.0;
constexpr double kWeatherPressureStdHpa = 12.0;  // about the standard pressure of the elevation
constexpr Measured kHumidityPercent{60.0, 20.0};
constexpr double kGivenHumidityStdPercent = 5.0;
constexpr Measured kLatitudeDeg{45.0, 25.0};  // standard gravity, near enough anywhere people launch rockets
constexpr Measured kElevationM{100.0, 150.0};
constexpr double kGivenElevationStdM = 10.0;

constexpr Measured kHeightAboveLandingM{0.0, 0.2};
constexpr double kGivenHeightStdM = 0.03;

}  // namespace loftline::survey_defaults
