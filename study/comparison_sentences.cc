// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/comparison_sentences.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

namespace loftline {
namespace {

// Beyond so many launches of each nobody will go on.
constexpr int kTooManyLaunches = 100;
// In the headline.
constexpr std::size_t kMostNamed = 6, kMostPairsNamed = 2;

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

// "Range at the standard launch: Heron 25.2 m, Curlew 21.9 m, Puffin 18.4 m."
std::string Ranking(const Comparison& comparison, const ComparedQuantity& quantity) {
  std::vector<std::size_t> order;
  double widest = 0.0;
  for (std::size_t i = 0; i < quantity.means.size(); ++i) {
    if (quantity.means[i].count == 0) continue;
    order.push_back(i);
    const std::optional<Estimate>& mean = quantity.mean_estimates[i];
    if (mean) widest = std::max(widest, 0.5 * (mean->high_95 - mean->low_95));
  }
  std::ranges::stable_sort(order, std::greater{}, [&](std::size_t i) { return quantity.means[i].mean; });
  std::vector<std::string> means;
  for (const std::size_t i : order) {
    if (means.size() == kMostNamed) break;
    means.push_back(comparison.designs[i].name + " " + InUnit(quantity.means[i].mean, widest, quantity.unit));
  }
  const std::size_t more = order.size() - means.size();
  return fmt::format(
      "{}: {}{}.", quantity.label, fmt::join(means, ", "), more > 0 ? fmt::format(" and {} more", more) : "");
}

// Which of more than one pair cannot be told apart.
std::string NotTold(const Comparison& comparison, const ComparedQuantity& quantity) {
  std::vector<std::string> alike;
  for (const PairComparison& pair : quantity.pairs) {
    if (pair.differ) continue;
    alike.push_back(comparison.designs[pair.one].name + " and " + comparison.designs[pair.other].name);
  }
  if (alike.empty()) return "Every pair differs by more than chance.";
  if (alike.size() == quantity.pairs.size()) return "No difference between the designs can be told yet.";
  if (alike.size() > kMostPairsNamed) return "Not every pair can be told apart yet.";
  std::string said = alike.front() + " cannot be told apart yet";
  for (std::size_t i = 1; i < alike.size(); ++i) said += ", nor can " + alike[i];
  return said + ".";
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
  if (quantity->pairs.size() == 1) return quantity->pairs.front().sentence;
  return Ranking(comparison, *quantity) + " " + NotTold(comparison, *quantity);
}

}  // namespace loftline
