// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/option_values.h"

#include "core/text.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <string_view>
#include <vector>

namespace loftline {

std::optional<Quantity> OptionValues::Take(const std::string& option,
                                           const std::optional<std::string>& text,
                                           Dimension dimension) {
  if (!text) return std::nullopt;
  Expected<Quantity> quantity = ParseQuantity(Trimmed(*text), dimension);
  if (quantity) return *quantity;
  Keep(option, quantity.error());
  return std::nullopt;
}

void OptionValues::Put(const std::string& option,
                       const std::optional<std::string>& text,
                       Dimension dimension,
                       double per_si,
                       std::optional<double>* value,
                       std::optional<double>* std) {
  const std::optional<Quantity> quantity = Take(option, text, dimension);
  if (!quantity) return;
  *value = quantity->value * per_si;
  if (!quantity->std) return;
  if (std == nullptr) {
    Reject(option, "An uncertainty is not taken here.", "Leave the \"+-\" out.");
  } else {
    *std = *quantity->std * per_si;
  }
}

std::optional<Measured> OptionValues::TakePositive(const std::string& option,
                                                   const std::optional<std::string>& text,
                                                   Dimension dimension,
                                                   double relative_std) {
  const std::optional<Quantity> quantity = Take(option, text, dimension);
  if (!quantity) return std::nullopt;
  if (!(quantity->value > 0.0)) {
    Reject(
        option, "The value must be above zero, not " + Quoted(*text) + ".", "Measure it, and give it with its unit.");
    return std::nullopt;
  }
  return Measured{quantity->value, quantity->std.value_or(relative_std * quantity->value)};
}

double OptionValues::Number(const std::string& option, const std::string& text) {
  const std::string_view trimmed = Trimmed(text);
  double number = 0.0;
  const auto [end, problem] = std::from_chars(trimmed.data(), trimmed.data() + trimmed.size(), number);
  if (problem == std::errc() && end == trimmed.data() + trimmed.size() && std::isfinite(number)) return number;
  Reject(option, Quoted(text) + " is no number.", "Write it as 412.3, without a unit.");
  return 0.0;
}

Eigen::Vector2d OptionValues::Pair(const std::string& option, const std::string& text) {
  const std::size_t comma = text.find(',');
  if (comma == std::string::npos) {
    Reject(option, Quoted(text) + " is no pair of pixel coordinates.", "Write x and y with a comma: 412.3,880.1");
    return Eigen::Vector2d::Zero();
  }
  return {Number(option, text.substr(0, comma)), Number(option, text.substr(comma + 1))};
}

std::pair<Eigen::Vector2d, Eigen::Vector2d> OptionValues::TwoPairs(const std::string& option, const std::string& text) {
  const std::string trimmed(Trimmed(text));
  const std::size_t gap = trimmed.find(' ');
  if (gap == std::string::npos) {
    Reject(option, Quoted(text) + " are no two points.", "Write both ends in pixels: \"412.3,880.1 1530.2,876.4\"");
    return {Eigen::Vector2d::Zero(), Eigen::Vector2d::Zero()};
  }
  return {Pair(option, trimmed.substr(0, gap)), Pair(option, trimmed.substr(gap + 1))};
}

Eigen::Vector2d OptionValues::PlacePair(const std::string& option, const std::string& text) {
  const std::size_t comma = text.find(',');
  const std::string example = "Write across and up with a comma and a unit: \"0, 1.5 m\"";
  if (comma == std::string::npos) {
    Reject(option, Quoted(text) + " is no place.", example);
    return Eigen::Vector2d::Zero();
  }
  std::string across = text.substr(0, comma);
  const std::string up = text.substr(comma + 1);
  const auto is_letter = [](unsigned char c) { return std::isalpha(c) != 0; };
  if (std::none_of(across.begin(), across.end(), is_letter)) {  // one unit for both
    const auto unit = std::find_if(up.begin(), up.end(), is_letter);
    across += " " + std::string(unit, up.end());
  }
  const std::optional<Quantity> x = Take(option, across, Dimension::kLength);
  const std::optional<Quantity> y = Take(option, up, Dimension::kLength);
  if ((x && x->std) || (y && y->std)) Reject(option, "An uncertainty is not taken here.", example);
  return {x ? x->value : 0.0, y ? y->value : 0.0};
}

std::pair<std::string, std::string> OptionValues::Sides(const std::string& option,
                                                        const std::string& text,
                                                        const std::string& example) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos) {
    Reject(option, "There is no '=' in " + Quoted(text) + ".", "Write it like this: " + example);
    return {};
  }
  return {text.substr(0, equals), text.substr(equals + 1)};
}

void OptionValues::Reject(const std::string& option, const std::string& message, const std::string& advice) {
  Keep(option, {ErrorKind::kInvalidInput, "bad-value", message, advice});
}

void OptionValues::Keep(const std::string& option, Error error) {
  if (error_) return;
  error.key = option;
  error_ = std::move(error);
}

Status OptionValues::Finish() const {
  if (error_) return *error_;
  return Done{};
}

}  // namespace loftline
