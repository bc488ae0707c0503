// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/comparison_sentences.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

// Beyond so many launches of each nobody will go on.
constexpr int kTooManyLaunches = 100;

int DecimalsFor(double std) {
  if (!(std > 0.0)) return 2;
  return std::clamp(1 - static_cast<int>(std::floor(std::log10(std))), 0, 6);
}

std::string Fixed(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find_first_not_of("-0.") == std::string::npos && text.starts_with('-')) text.erase(0, 1);
  if (text.starts_with('-')) text.replace(0, 1, "\u2212");
  return text;
}

std::string Joined(const std::string& number, const std::string& unit) {
  if (unit.empty()) return number;
  return unit == "°" ? number + unit : number + " " + unit;
}

// Of |difference|: its interval turned round where the difference is below zero.
std::string Interval(const Estimate& difference, const std::string& unit) {
  const int decimals = DecimalsFor(0.5 * (difference.high_95 - difference.low_95));
  const bool turned = difference.value < 0.0;
  const double low = turned ? -difference.high_95 : difference.low_95;
  const double high = turned ? -difference.low_95 : difference.high_95;
  return Joined(Fixed(low, decimals) + " to " + Fixed(high, decimals), unit);
}

std::string Size(const Estimate& difference, const std::string& unit) {
  return InUnit(std::abs(difference.value), 0.5 * (difference.high_95 - difference.low_95), unit);
}

std::string Plain(double value, const std::string& unit) {
  return Joined(fmt::format("{:g}", value), unit);
}

// The difference worth knowing is smaller than what the measuring of both shares not: no number of launches helps.
std::string WhatWouldHelp(const ComparedQuantity& quantity, const PairComparison& pair) {
  const std::string worth = Plain(quantity.worth_knowing, quantity.unit);
  if (!pair.more_launches_each) {
    const double most =
        std::max(std::abs(pair.difference.difference.low_95), std::abs(pair.difference.difference.high_95));
    if (most <= quantity.worth_knowing) return fmt::format("if they differ, then by less than {}", worth);
    return fmt::format("such launches would have shown a difference of {} on four days of five", worth);
  }
  if (*pair.more_launches_each > kTooManyLaunches) {
    return fmt::format(
        "more than {} more launches of each would be needed to show a difference of {}", kTooManyLaunches, worth);
  }
  return fmt::format("about {} more launch{} of each would show a difference of {}",
                     *pair.more_launches_each,
                     *pair.more_launches_each == 1 ? "" : "es",
                     worth);
}

const ComparedQuantity* QuantityOf(const Comparison& comparison, const char* key) {
  for (const ComparedQuantity& quantity : comparison.quantities) {
    if (quantity.key == key) return &quantity;
  }
  return nullptr;
}

}  // namespace

std::string InUnit(double value, double std, const std::string& unit) {
  return Joined(Fixed(value, DecimalsFor(std)), unit);
}

std::string PairSentence(const QuantityKind& kind,
                         const Comparison& comparison,
                         const PairComparison& pair,
                         const ComparedQuantity& quantity) {
  const Estimate& difference = pair.difference.difference;
  const std::string& one = comparison.designs[pair.one].name;
  const std::string& other = comparison.designs[pair.other].name;
  const bool more_is_other = difference.value >= 0.0;
  const std::string& more = more_is_other ? other : one;
  const std::string& less = more_is_other ? one : other;
  const std::string interval = fmt::format("95 %: {}", Interval(difference, kind.unit));
  const std::string does = fmt::format("{} {} {} {}", more, kind.more_verb, Size(difference, kind.unit), kind.more);
  if (pair.differ) return fmt::format("{} than {}{} ({}).", does, less, kind.tail, interval);
  return fmt::format("Cannot tell {} from {} yet: {}{} ({}), which may be chance; {}.",
                     more,
                     less,
                     does,
                     kind.tail,
                     interval,
                     WhatWouldHelp(quantity, pair));
}

std::string Headline(const Comparison& comparison) {
  const ComparedQuantity* quantity = nullptr;
  for (const char* key : {"standard_range_m", "drag_coefficient", "range_m"}) {
    quantity = QuantityOf(comparison, key);
    if (quantity != nullptr && !quantity->pairs.empty()) break;
    quantity = nullptr;
  }
  if (quantity == nullptr) return "There are too few flights to compare designs: two of each are the least.";
  std::vector<const PairComparison*> told;
  for (const PairComparison& pair : quantity->pairs) {
    if (pair.differ) told.push_back(&pair);
  }
  if (told.empty()) {
    return quantity->pairs.size() == 1 ? quantity->pairs.front().sentence
                                       : "No difference between the designs can be told yet.";
  }
  const auto surest = std::ranges::min_element(told, {}, [](const PairComparison* pair) { return pair->difference.p; });
  const std::string rest = quantity->pairs.size() == told.size() ? ""
                           : quantity->pairs.size() == 1         ? ""
                                                                 : " Not every pair can be told apart.";
  return (*surest)->sentence + rest;
}

}  // namespace loftline
