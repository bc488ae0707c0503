// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/launches_needed.h"

#include "core/distributions.h"
#include "core/text.h"
#include "study/compared_quantities.h"
#include "study/power.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

Error Bad(const char* option, std::string message, std::string advice) {
  return {ErrorKind::kInvalidInput, "bad-value", std::move(message), std::move(advice), "", 0, option};
}

Error UnknownQuantity(const Comparison& comparison, const std::string& key) {
  std::vector<std::string> there;
  std::string list;
  for (const ComparedQuantity& quantity : comparison.quantities) {
    there.push_back(quantity.key);
    list += (list.empty() ? "" : ", ") + quantity.key;
  }
  std::string message = "This day has no " + Quoted(key) + ".";
  if (const std::optional<std::string> nearest = NearestWord(key, there)) message += " Did you mean " + *nearest + "?";
  return Bad("--quantity", message, "It can be " + list + ".");
}

std::optional<Error> WhatIsWrong(const LaunchesRequest& request) {
  if (!(request.difference > 0.0) || !std::isfinite(request.difference)) {
    return Bad("--difference",
               fmt::format("A difference of {:g} is none.", request.difference),
               "Give the smallest difference that would matter to you, above zero: \"2 m\" or \"5 %\".");
  }
  // Below one in twenty a test tells what is not there more often than what is.
  if (!(request.power > 0.05 && request.power < 0.9999)) {
    return Bad("--power",
               fmt::format("A power of {:g} cannot be.", request.power),
               "Give how often the difference is to be told, between 0.05 and 0.9999; 0.8 is usual.");
  }
  return std::nullopt;
}

std::optional<int> Whole(double count) {
  if (!(count <= kMostLaunches)) return std::nullopt;
  return static_cast<int>(std::ceil(count - 1e-9));
}

// Of values that scatter alike in all groups; also their grand mean.
void TakeSpread(const ComparedQuantity& quantity, LaunchesNeeded* needed) {
  double squares = 0.0, groups = 0.0;
  for (const GroupMean& mean : quantity.means) {
    if (mean.count == 0) continue;
    needed->mean += mean.mean;
    groups += 1.0;
    if (mean.count < 2) continue;
    squares += static_cast<double>(mean.count - 1) * mean.spread * mean.spread;
    needed->dof += static_cast<int>(mean.count) - 1;
  }
  if (groups > 0.0) needed->mean /= groups;
  if (needed->dof == 0) return;
  needed->spread = std::sqrt(squares / needed->dof);
  const SpreadInterval interval = SpreadInterval95(needed->dof);
  needed->spread_low_95 = interval.low_factor * needed->spread;
  needed->spread_high_95 = interval.high_factor * needed->spread;
}

void TakeCounts(const Comparison& comparison, const ComparedQuantity& quantity, LaunchesNeeded* needed) {
  const auto count = [&](double spread) {
    return Whole(CountForPower(needed->power, needed->difference, spread, needed->alpha));
  };
  needed->launches_each = count(needed->spread);
  needed->low_each = count(needed->spread_low_95);
  needed->high_each = count(needed->spread_high_95);
  for (std::size_t i = 0; i < comparison.designs.size(); ++i) {
    LaunchesNeeded::Design design{comparison.designs[i].name, quantity.means[i].count, std::nullopt};
    const int used = static_cast<int>(design.used);
    if (needed->launches_each) design.more_needed = std::max(0, *needed->launches_each - used);
    needed->designs.push_back(design);
  }
}

std::string CountText(const std::optional<int>& count) {
  return count ? fmt::format("{}", *count) : fmt::format("more than {}", kMostLaunches);
}

std::string SentenceOf(const LaunchesNeeded& needed, const LaunchesRequest& request) {
  const auto with_unit = [&](double value) {
    return fmt::format("{:.3g}{}{}", value, needed.unit.empty() || needed.unit == "°" ? "" : " ", needed.unit);
  };
  std::string label = needed.label;
  label[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(label[0])));
  const std::string difference =
      request.relative ? fmt::format("{:g} % ({})", 100.0 * request.difference, with_unit(needed.difference))
                       : with_unit(needed.difference);
  if (!needed.launches_each) {
    return fmt::format(
        "It would take more than {} launches of each design to show a difference of {} in {} on {:.0f} of "
        "100 such days.",
        kMostLaunches,
        difference,
        label,
        100.0 * needed.power);
  }
  return fmt::format(
      "About {} launches of each design ({} to {}) would show a difference of {} in {} on {:.0f} of 100 such days.",
      CountText(needed.launches_each),
      CountText(needed.low_each),
      CountText(needed.high_each),
      difference,
      label,
      100.0 * needed.power);
}

}  // namespace

SpreadInterval SpreadInterval95(double dof) {
  return {std::sqrt(dof / ChiSquareQuantile(0.975, dof)), std::sqrt(dof / ChiSquareQuantile(0.025, dof))};
}

Expected<LaunchesNeeded> CountLaunches(const Comparison& comparison, const LaunchesRequest& request) {
  if (std::optional<Error> error = WhatIsWrong(request)) return *error;
  const auto quantity = std::ranges::find(comparison.quantities, request.quantity, &ComparedQuantity::key);
  if (quantity == comparison.quantities.end()) return UnknownQuantity(comparison, request.quantity);
  LaunchesNeeded needed;
  needed.key = quantity->key;
  needed.label = quantity->label;
  needed.unit = quantity->unit;
  needed.power = request.power;
  TakeSpread(*quantity, &needed);
  if (!(needed.spread > 0.0)) {
    return Error{ErrorKind::kRefused,
                 "spread-unknown",
                 fmt::format("No design has two flights whose {} is known and differs, so nobody can say how much "
                             "launches scatter.",
                             needed.key),
                 "Launch one design three times or more, and measure that day first."};
  }
  needed.difference = request.relative ? request.difference * std::abs(needed.mean) : request.difference;
  needed.alpha = PairAlpha(comparison.designs.size(), needed.dof);
  TakeCounts(comparison, *quantity, &needed);
  needed.sentence = SentenceOf(needed, request);
  return needed;
}

nlohmann::ordered_json LaunchesAsJson(const LaunchesNeeded& needed, const std::vector<std::string>& days) {
  using Json = nlohmann::ordered_json;
  const auto or_null = [](const std::optional<int>& count) { return count ? Json(*count) : Json(nullptr); };
  Json designs = Json::array();
  for (const LaunchesNeeded::Design& design : needed.designs) {
    designs.push_back({{"design", design.name}, {"used", design.used}, {"more_needed", or_null(design.more_needed)}});
  }
  return {{"format", "loftline.launches"},
          {"format_version", 1},
          {"program", {{"name", "loftline"}, {"version", LOFTLINE_VERSION}}},
          {"days", days},
          {"quantity", {{"key", needed.key}, {"label", needed.label}, {"unit", needed.unit}, {"mean", needed.mean}}},
          {"difference", needed.difference},
          {"power", needed.power},
          {"alpha", needed.alpha},
          {"spread",
           {{"value", needed.spread},
            {"low_95", needed.spread_low_95},
            {"high_95", needed.spread_high_95},
            {"dof", needed.dof}}},
          {"launches_each",
           {{"value", or_null(needed.launches_each)},
            {"low_95", or_null(needed.low_each)},
            {"high_95", or_null(needed.high_each)}}},
          {"designs", designs},
          {"sentence", needed.sentence}};
}

}  // namespace loftline
