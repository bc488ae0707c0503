// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/format_number.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

// Beyond these a row of digits helps nobody, and powers of ten are written.
constexpr int kMostDecimals = 9;
constexpr double kLargestPlain = 1e9;

std::string WithTrueMinus(std::string text) {
  const bool is_zero = text.find_first_of("123456789") == std::string::npos;
  if (text.starts_with('-')) text.replace(0, 1, is_zero ? "" : "\u2212");
  return text;
}

// The two sides of an interval are told apart where they differ by more than this share of their mean.
constexpr double kAsymmetryWorthShowing = 0.2;

}  // namespace

int DecimalsFor(double std) {
  if (!std::isfinite(std) || std <= 0.0) return kDecimalsUnknown;
  int exponent = static_cast<int>(std::floor(std::log10(std)));
  // 0.0996 rounds to 0.10, which shows its two digits one place earlier.
  if (std::round(std / std::pow(10.0, exponent - 1)) >= 100.0) ++exponent;
  return 1 - exponent;
}

std::string FormatNumber(double value, int decimals) {
  if (!std::isfinite(value)) return "not known";
  if (decimals == kDecimalsUnknown || decimals > kMostDecimals || std::abs(value) >= kLargestPlain) {
    return WithTrueMinus(fmt::format("{:.4g}", value));
  }
  if (decimals >= 0) return WithTrueMinus(fmt::format("{:.{}f}", value, decimals));
  const double step = std::pow(10.0, -decimals);
  return WithTrueMinus(fmt::format("{:.0f}", std::round(value / step) * step));
}

std::string WithUnit(std::string_view number, std::string_view unit) {
  if (unit.empty()) return std::string(number);
  return fmt::format("{}{}{}", number, unit == "°" ? "" : " ", unit);
}

std::string FormatMeasured(const Measured& measured, std::string_view unit) {
  const int decimals = DecimalsFor(measured.std);
  if (decimals == kDecimalsUnknown) return WithUnit(FormatNumber(measured.value, decimals), unit);
  return WithUnit(fmt::format("{} ± {}", FormatNumber(measured.value, decimals), FormatNumber(measured.std, decimals)),
                  unit);
}

EstimateText FormatPieces(const Estimate& estimate) {
  const double half = 0.5 * (estimate.high_95 - estimate.low_95);
  const int decimals = DecimalsFor(half);
  const double above = estimate.high_95 - estimate.value;
  const double below = estimate.value - estimate.low_95;
  EstimateText text{FormatNumber(estimate.value, decimals),
                    "± " + FormatNumber(half, decimals),
                    FormatNumber(estimate.low_95, decimals),
                    FormatNumber(estimate.high_95, decimals)};
  if (std::abs(above - below) > kAsymmetryWorthShowing * half) {
    text.plus_minus = fmt::format("+{} / \u2212{}", FormatNumber(above, decimals), FormatNumber(below, decimals));
  }
  return text;
}

std::string FormatEstimate(const Estimate& estimate, std::string_view unit) {
  const EstimateText text = FormatPieces(estimate);
  return WithUnit(text.value + " " + text.plus_minus, unit);
}

std::string FormatInterval(const Estimate& estimate, std::string_view unit) {
  const EstimateText text = FormatPieces(estimate);
  return WithUnit(text.low + " to " + text.high, unit);
}

std::string FormatPlain(double value, int digits) {
  if (!std::isfinite(value)) return "not known";
  return WithTrueMinus(fmt::format("{:.{}g}", value, digits));
}

}  // namespace loftline
