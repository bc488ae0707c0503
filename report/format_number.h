// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/measured.h"

#include <string>
#include <string_view>

namespace loftline {

// How numbers are written for people, on pages, pictures and terminals alike: the uncertainty that stands beside a
// value is rounded to two significant digits and the value to match (GUM, JCGM 100:2008, 7.2.6). UTF-8: the true minus
// sign U+2212 and the plus-minus sign U+00B1.

// Digits after the point that show two significant digits of STD; below zero: round to tens, hundreds ...
// An std that is not above zero, or not finite, gives kDecimalsUnknown.
inline constexpr int kDecimalsUnknown = 99;
int DecimalsFor(double std);

// "21.31"; four significant digits where DECIMALS is kDecimalsUnknown; "not known" for NaN and infinities.
std::string FormatNumber(double value, int decimals);

// "21.31 m/s", "58.3°", "0.45": the degree sign sits close, no unit leaves no blank.
std::string WithUnit(std::string_view number, std::string_view unit);

// "21.31 ± 0.12 m/s": the value and ONE standard uncertainty.
std::string FormatMeasured(const Measured& measured, std::string_view unit);

// A result and its 95 % interval, in pieces, all with the decimals that show two digits of half the interval.
struct EstimateText {
  std::string value;       // "21.31"
  std::string plus_minus;  // "± 0.24", half the 95 % interval; "+0.31 / −0.20" where its two sides differ clearly
  std::string low, high;   // "21.07", "21.55"
};
EstimateText FormatPieces(const Estimate& estimate);

// "21.31 ± 0.24 m/s": the value and half its 95 % interval. Say "95 %" beside it.
std::string FormatEstimate(const Estimate& estimate, std::string_view unit);
// "21.07 to 21.55 m/s"
std::string FormatInterval(const Estimate& estimate, std::string_view unit);

// A plain number for text around it: at most DIGITS significant digits, no zeros at the end ("10", "0.45", "16.4").
std::string FormatPlain(double value, int digits);

}  // namespace loftline
