// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/comparison_words.h"

#include "report/day_words.h"
#include "report/format_number.h"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kMostInTitle = 5;

std::string Listed(const std::vector<std::string>& names) {
  std::string list;
  for (std::size_t i = 0; i < names.size(); ++i) {
    list += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  }
  return list;
}

std::string DayName(const std::string& folder) {
  const std::filesystem::path path = std::filesystem::path(folder).lexically_normal();
  const std::string name = (path.has_filename() ? path : path.parent_path()).filename().string();
  return name.empty() || name == "." || name == ".." ? folder : name;
}

std::string Probability(double p) {
  return p < 0.001 ? "p\u00a0<\u00a00.001" : "p\u00a0=\u00a0" + FormatPlain(p, 2);
}

std::string LandingLevel(double height_m) {
  if (std::abs(height_m) < 0.005) return "landing level with the launch point";
  return fmt::format(
      "landing {} m {} the launch point", FormatPlain(std::abs(height_m), 2), height_m > 0.0 ? "below" : "above");
}

}  // namespace

std::string ComparisonTitle(const Comparison& comparison) {
  std::vector<std::string> names;
  for (const ComparedDesign& design : comparison.designs) names.push_back(design.name);
  if (names.empty()) return "No designs";
  if (names.size() <= kMostInTitle) return Listed(names);
  const bool by_design = comparison.grouped_by.empty() || comparison.grouped_by == "design";
  return fmt::format("{} {}", names.size(), by_design ? "designs" : "values of " + comparison.grouped_by);
}

std::string UsedSentence(const Comparison& comparison) {
  const auto used = std::count_if(
      comparison.flights.begin(), comparison.flights.end(), [](const ComparedFlight& flight) { return flight.used; });
  std::vector<std::string> days;
  for (const std::string& day : comparison.days) {
    if (!DayName(day).empty()) days.push_back("“" + DayName(day) + "”");
  }
  const std::string of = days.empty() ? "" : " of " + Listed(days);
  return fmt::format("{} of {} launches{} used.", used, comparison.flights.size(), of);
}

std::string StandardLaunchSentence(const StandardLaunch& standard) {
  const char* whence = standard.speed_given && standard.angle_given ? "as you asked"
                       : standard.speed_given                       ? "the speed as you asked, the angle a median"
                       : standard.angle_given                       ? "the angle as you asked, the speed a median"
                                                                    : "the medians of the flights used";
  return fmt::format(
      "The standard launch is the same for all: {} m/s at {}° ({}), {}, air of {} kg/m³, no wind. Every flight’s own "
      "drag says how far that rocket would have gone from there, so that the push no longer counts.",
      FormatPlain(standard.speed_m_s, 4),
      FormatPlain(standard.angle_deg, 3),
      whence,
      LandingLevel(standard.height_above_landing_m),
      FormatPlain(standard.air_density_kg_per_m3, 3));
}

const ComparedQuantity* FindQuantity(const Comparison& comparison, std::string_view key) {
  const auto found = std::find_if(comparison.quantities.begin(),
                                  comparison.quantities.end(),
                                  [key](const ComparedQuantity& quantity) { return quantity.key == key; });
  return found == comparison.quantities.end() || found->values.empty() ? nullptr : &*found;
}

std::string MeanText(const ComparedQuantity& quantity, std::size_t design) {
  if (design < quantity.mean_estimates.size() && quantity.mean_estimates[design]) {
    const Estimate& mean = *quantity.mean_estimates[design];
    const double half = 0.5 * (mean.high_95 - mean.low_95);
    // Of two flights the interval may be many times the mean, which rounded to match would be no number any more.
    if (half <= std::abs(mean.value) || !std::isfinite(half)) return FormatEstimate(mean, quantity.unit);
    const std::string half_text = FormatNumber(half, DecimalsFor(half));
    return WithUnit(FormatPlain(mean.value, 2) + " ± " + half_text, quantity.unit);
  }
  if (design < quantity.means.size() && quantity.means[design].count > 0) {
    return WithUnit(FormatPlain(quantity.means[design].mean, 3), quantity.unit);
  }
  return "–";
}

std::string FlightName(const Comparison& comparison, const ComparedFlight& flight) {
  std::string name = LaunchName(flight.record.row);
  if (comparison.days.size() < 2 || flight.day >= comparison.days.size()) return name;
  return name + " of " + DayName(comparison.days[flight.day]);
}

std::vector<LeftOut> FlightsLeftOut(const Comparison& comparison) {
  std::vector<LeftOut> groups;
  for (const bool altogether : {true, false}) {
    for (const ComparedFlight& flight : comparison.flights) {
      if (flight.why_not.empty() || flight.used == altogether) continue;
      auto group = std::find_if(groups.begin(), groups.end(), [&](const LeftOut& one) {
        return one.why == flight.why_not && one.altogether == altogether;
      });
      if (group == groups.end()) group = groups.insert(groups.end(), {flight.why_not, {}, altogether});
      group->flights.push_back(FlightName(comparison, flight));
    }
  }
  return groups;
}

std::string PairNumbers(const ComparedQuantity& quantity, const PairComparison& pair) {
  std::string numbers = fmt::format("{} (95 %: {})",
                                    FormatEstimate(pair.difference.difference, quantity.unit),
                                    FormatInterval(pair.difference.difference, quantity.unit));
  if (pair.effect_size) {
    numbers += fmt::format(", effect size {} ({} to {})",
                           FormatPlain(pair.effect_size->value, 2),
                           FormatPlain(pair.effect_size->low_95, 2),
                           FormatPlain(pair.effect_size->high_95, 2));
  }
  numbers += ", " + Probability(pair.difference.p);
  if (pair.permutation_p) numbers += fmt::format(" (by all shuffles: {})", Probability(*pair.permutation_p));
  return numbers;
}

std::string TogetherSentence(const Comparison& comparison, const ComparedQuantity& quantity) {
  std::string sentence;
  if (quantity.share_by_design) {
    sentence = fmt::format("Of all the spread, {:.0f} % lies between the designs.", 100.0 * *quantity.share_by_design);
  }
  if (quantity.together && comparison.designs.size() > 2) {
    sentence += fmt::format(
        "{}All designs alike: {}, by Welch’s test.", sentence.empty() ? "" : " ", Probability(quantity.together->p));
  }
  return sentence;
}

}  // namespace loftline
