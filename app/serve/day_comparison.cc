// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_comparison.h"

#include "app/comparison_files.h"
#include "app/serve/day_words_file.h"
#include "core/values_json.h"
#include "report/answers.h"
#include "report/comparison_words.h"
#include "study/compare_day.h"
#include "study/comparison_sentences.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace loftline {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr const char* kWords = "comparison.words.json";

Json DesignsInWords(const Comparison& comparison) {
  Json list = Json::array();
  for (const ComparedDesign& design : comparison.designs) {
    Json variables = Json::object();
    for (std::size_t i = 0; i < comparison.variables.size(); ++i) {
      variables[comparison.variables[i]] = design.variables[i];
    }
    list.push_back({{"name", design.name},
                    {"launched", design.launched},
                    {"used", design.used},
                    {"variables", std::move(variables)}});
  }
  return list;
}

// What a pair's sentence says, for pages in other languages: the design with the larger value first.
Json FactsOf(const Comparison& comparison, const ComparedQuantity& quantity, const PairComparison& pair) {
  const Estimate& difference = pair.difference.difference;
  const bool turned = difference.value < 0.0;
  const double half = 0.5 * (difference.high_95 - difference.low_95);
  const auto number = [&](double value) { return InUnit(value, half, ""); };
  return {{"more", comparison.designs[turned ? pair.one : pair.other].name},
          {"less", comparison.designs[turned ? pair.other : pair.one].name},
          {"size", number(std::abs(difference.value))},
          {"low", number(turned ? -difference.high_95 : difference.low_95)},
          {"high", number(turned ? -difference.low_95 : difference.high_95)},
          {"worth_knowing", quantity.worth_knowing},
          {"more_launches_each", pair.more_launches_each ? Json(*pair.more_launches_each) : Json()}};
}

// The designs' means from the largest to the smallest, rounded alike.
Json RankingOf(const Comparison& comparison, const ComparedQuantity& quantity) {
  std::vector<std::size_t> order;
  double widest = 0.0;
  for (std::size_t i = 0; i < quantity.means.size(); ++i) {
    if (quantity.means[i].count == 0) continue;
    order.push_back(i);
    const std::optional<Estimate>& mean = quantity.mean_estimates[i];
    if (mean) widest = std::max(widest, 0.5 * (mean->high_95 - mean->low_95));
  }
  std::ranges::stable_sort(order, std::greater{}, [&](std::size_t i) { return quantity.means[i].mean; });
  Json ranking = Json::array();
  for (const std::size_t i : order) {
    ranking.push_back(
        {{"name", comparison.designs[i].name}, {"mean", InUnit(quantity.means[i].mean, widest, quantity.unit)}});
  }
  return ranking;
}

Json QuantityInWords(const Comparison& comparison, const ComparedQuantity& quantity) {
  Json means = Json::array(), pairs = Json::array();
  for (std::size_t i = 0; i < comparison.designs.size(); ++i) means.push_back(MeanText(quantity, i));
  for (const PairComparison& pair : quantity.pairs) {
    pairs.push_back({{"one", comparison.designs[pair.one].name},
                     {"other", comparison.designs[pair.other].name},
                     {"differ", pair.differ},
                     {"sentence", pair.sentence},
                     {"numbers", PairNumbers(quantity, pair)},
                     {"facts", FactsOf(comparison, quantity, pair)}});
  }
  return {{"key", quantity.key},
          {"label", quantity.label},
          {"unit", quantity.unit},
          {"means", std::move(means)},
          {"ranking", RankingOf(comparison, quantity)},
          {"together", TogetherSentence(comparison, quantity)},
          {"pairs", std::move(pairs)}};
}

Json InWords(const Comparison& comparison) {
  Json quantities = Json::array(), left_out = Json::array();
  for (const ComparedQuantity& quantity : comparison.quantities) {
    if (!quantity.values.empty()) quantities.push_back(QuantityInWords(comparison, quantity));
  }
  for (const LeftOut& group : FlightsLeftOut(comparison)) {
    left_out.push_back({{"why", group.why}, {"flights", group.flights}, {"altogether", group.altogether}});
  }
  const bool taped = comparison.tape && !comparison.tape->sentence.empty();
  return {{"grouped_by", comparison.grouped_by},
          {"title", ComparisonTitle(comparison)},
          {"headline", comparison.headline},
          {"used", UsedSentence(comparison)},
          {"standard_launch", StandardLaunchSentence(comparison.standard)},
          {"warnings", FindingsAsJson(FindingsByWeight(comparison.warnings))},
          {"designs", DesignsInWords(comparison)},
          {"quantities", std::move(quantities)},
          {"tape", taped ? Json(comparison.tape->sentence) : Json()},
          {"left_out", std::move(left_out)}};
}

void TakeAway(const fs::path& folder) {
  std::error_code ignored;
  for (const char* name : {kWords, "comparison.html", "comparison.json"}) fs::remove(folder / name, ignored);
}

}  // namespace

Expected<DaySummary> ReadDaySummary(const fs::path& folder) {
  Expected<DaySummary> summary = ReadSummary(folder / kDayResults);
  if (summary) summary->folder = folder;  // by whose name sentences call the day
  return summary;
}

Status CompareDay(const fs::path& folder, const std::optional<std::string>& variable) {
  Expected<DaySummary> summary = ReadDaySummary(folder);
  if (!summary) return summary.error();
  CompareOptions options;
  options.variable = variable;
  const Expected<Comparison> comparison = CompareDays({std::move(*summary)}, options);
  if (!comparison) return comparison.error();
  if (Status status = WriteComparison(*comparison, folder); !status) return status;
  return WriteWords(folder / kWords, InWords(*comparison));
}

Status RenewComparison(const fs::path& folder) {
  const Json words = ReadComparison(folder);
  const std::string grouped_by = words.is_null() ? "design" : words.value("grouped_by", "design");
  std::optional<std::string> variable;
  if (grouped_by != "design") variable = grouped_by;
  Status status = CompareDay(folder, variable);
  if (!status && status.error().code == "no-such-variable") status = CompareDay(folder, std::nullopt);
  if (status || status.error().code == "cannot-write") return status;
  TakeAway(folder);
  return Done{};
}

nlohmann::ordered_json ReadComparison(const fs::path& folder) {
  return ReadWords(folder / kWords);
}

}  // namespace loftline
