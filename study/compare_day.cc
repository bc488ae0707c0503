// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/compare_day.h"

#include "core/text.h"
#include "study/compare_groups.h"
#include "study/comparison_sentences.h"
#include "study/day_warnings.h"
#include "study/standard_launch.h"
#include "study/tape_agreement.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace loftline {
namespace {

std::optional<long> WholeNumber(const std::string& text) {
  long number = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (problem != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

// Launch numbers say the order where they are whole and each stands once in the day; else the table's rows do.
std::vector<int> OrdersOf(const DaySummary& day) {
  std::vector<std::pair<long, std::size_t>> numbered;
  std::set<long> seen;
  for (std::size_t i = 0; i < day.flights.size(); ++i) {
    const std::optional<long> number = WholeNumber(day.flights[i].row.launch);
    if (!number || !seen.insert(*number).second) {
      numbered.clear();
      break;
    }
    numbered.emplace_back(*number, i);
  }
  std::vector<int> orders(day.flights.size());
  std::ranges::sort(numbered);
  for (std::size_t i = 0; i < orders.size(); ++i) {
    orders[numbered.empty() ? i : numbered[i].second] = static_cast<int>(i) + 1;
  }
  return orders;
}

// To the nearest of 1, 2 and 5 times a power of ten.
double RoundedToOneTwoFive(double value) {
  if (!(value > 0.0)) return 0.0;
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  double nearest = power;
  for (const double step : {1.0, 2.0, 5.0, 10.0}) {
    if (std::abs(std::log(step * power / value)) < std::abs(std::log(nearest / value))) nearest = step * power;
  }
  return nearest;
}

double MedianOf(const std::vector<GroupedValue>& values) {
  std::vector<double> sizes;
  sizes.reserve(values.size());
  for (const GroupedValue& each : values) sizes.push_back(std::abs(each.value.value.value));
  std::ranges::sort(sizes);
  return sizes.empty() ? 0.0 : sizes[sizes.size() / 2];
}

class Comparing {
 public:
  Comparing(const std::vector<DaySummary>& days, const CompareOptions& options) : days_(days), options_(options) {}

  Expected<Comparison> Run() {
    if (Status status = CollectVariables(); !status) return status.error();
    CollectFlights();
    const bool any =
        std::ranges::any_of(comparison_.flights, [](const ComparedFlight& flight) { return flight.use.raw; });
    if (!any) {
      return Error{
          ErrorKind::kRefused,
          "no-flights",
          "No flight of the day can be compared: none was measured without doubt about its metres or its path.",
          "See index.html in the day's folder for the reason of each.",
          days_.front().folder.string()};
    }
    Expected<StandardLaunch> standard = ChooseStandardLaunch(comparison_.flights, options_);
    if (!standard) return standard.error();
    comparison_.standard = *standard;
    for (const QuantityKind& kind : QuantityKinds()) AddQuantity(kind);
    CountFlights();
    AddPaths();
    comparison_.tape = CompareWithTape(comparison_.flights);
    comparison_.warnings = DayWarnings(comparison_);
    comparison_.headline = Headline(comparison_);
    return std::move(comparison_);
  }

 private:
  Status CollectVariables() {
    for (const DaySummary& day : days_) {
      comparison_.days.push_back(day.folder.string());
      for (const std::string& name : day.variables) {
        if (!std::ranges::count(comparison_.variables, name)) comparison_.variables.push_back(name);
      }
    }
    comparison_.grouped_by = options_.variable.value_or("design");
    if (comparison_.grouped_by == "design" || std::ranges::count(comparison_.variables, comparison_.grouped_by)) {
      return Done{};
    }
    const std::optional<std::string> near = NearestWord(comparison_.grouped_by, comparison_.variables);
    return Error{ErrorKind::kInvalidInput,
                 "no-such-variable",
                 fmt::format("There is no design variable {} in the table.{}",
                             Quoted(comparison_.grouped_by),
                             near ? " Did you mean " + Quoted(*near) + "?" : ""),
                 comparison_.variables.empty() ? "The table has none: every column that is not known otherwise is one."
                                               : fmt::format("It has: {}.", fmt::join(comparison_.variables, ", ")),
                 "",
                 0,
                 "--variable"};
  }

  // A flight's values in the order of comparison_.variables, whatever its own table's order.
  std::vector<std::string> VariablesOf(const DaySummary& day, const FlightRecord& record) const {
    std::vector<std::string> values(comparison_.variables.size());
    for (std::size_t i = 0; i < day.variables.size() && i < record.row.variables.size(); ++i) {
      const auto place = std::ranges::find(comparison_.variables, day.variables[i]);
      values[static_cast<std::size_t>(place - comparison_.variables.begin())] = record.row.variables[i];
    }
    return values;
  }

  std::string GroupOf(const FlightRecord& record) const {
    if (comparison_.grouped_by == "design") return record.row.design;
    const auto place = std::ranges::find(comparison_.variables, comparison_.grouped_by);
    const std::string& value = record.row.variables[static_cast<std::size_t>(place - comparison_.variables.begin())];
    return comparison_.grouped_by + " " + (value.empty() ? "(none)" : value);
  }

  void CollectFlights() {
    for (std::size_t day = 0; day < days_.size(); ++day) {
      const std::vector<int> orders = OrdersOf(days_[day]);
      std::vector<ComparedFlight> flights;
      for (std::size_t i = 0; i < days_[day].flights.size(); ++i) {
        ComparedFlight flight;
        flight.day = day;
        flight.order = orders[i];
        flight.record = days_[day].flights[i];
        flight.record.row.variables = VariablesOf(days_[day], flight.record);
        flight.use = UseOf(flight.record.outcome, options_.accepted_only);
        flight.why_not = flight.use.why_not;
        flights.push_back(std::move(flight));
      }
      std::ranges::sort(flights, {}, &ComparedFlight::order);
      std::ranges::move(flights, std::back_inserter(comparison_.flights));
    }
    std::map<std::string, std::size_t> known;
    for (ComparedFlight& flight : comparison_.flights) {
      const std::string name = GroupOf(flight.record);
      const auto [place, fresh] = known.emplace(name, comparison_.designs.size());
      if (fresh) comparison_.designs.push_back({name, {}, 0, 0});
      flight.design = place->second;
    }
  }

  double WorthKnowing(const QuantityKind& kind, const std::vector<GroupedValue>& values) const {
    const std::string key = kind.key;
    const bool in_metres = std::string(kind.unit) == "m";
    if (in_metres && options_.worth_knowing_m) return *options_.worth_knowing_m;
    return RoundedToOneTwoFive(kind.worth_share * MedianOf(values));
  }

  void AddQuantity(const QuantityKind& kind) {
    std::vector<GroupedValue> values;
    for (std::size_t i = 0; i < comparison_.flights.size(); ++i) {
      ComparedFlight& flight = comparison_.flights[i];
      const std::optional<FlightValue> value = ValueOf(kind, flight, comparison_.standard);
      if (!value || !std::isfinite(value->value.value) || !std::isfinite(value->value.std)) continue;
      flight.used = true;
      values.push_back({i, flight.design, *value, SurveyOf(flight)});
    }
    if (values.empty()) return;
    ComparedQuantity quantity;
    quantity.key = kind.key;
    quantity.label = kind.label;
    quantity.unit = kind.unit;
    quantity.standard = kind.standard;
    quantity.worth_knowing = WorthKnowing(kind, values);
    CompareGroups(values, comparison_.designs.size(), &quantity);
    for (PairComparison& pair : quantity.pairs) pair.sentence = PairSentence(kind, comparison_, pair, quantity);
    comparison_.quantities.push_back(std::move(quantity));
  }

  // A camera that looks askew makes flights to the left too short where it makes those to the right too long.
  static std::string SurveyOf(const ComparedFlight& flight) {
    const FlightOutcome& outcome = flight.record.outcome;
    return outcome.survey_sha256 + (outcome.flight.direction == Direction::kLeft ? " left" : " right");
  }

  void CountFlights() {
    std::vector<std::vector<std::vector<std::string>>> values(comparison_.designs.size());
    for (auto& each : values) each.resize(comparison_.variables.size());
    for (const ComparedFlight& flight : comparison_.flights) {
      ComparedDesign& design = comparison_.designs[flight.design];
      ++design.launched;
      design.used += flight.used ? 1 : 0;
      for (std::size_t i = 0; i < comparison_.variables.size(); ++i) {
        auto& known = values[flight.design][i];
        const std::string& value = flight.record.row.variables[i];
        if (!value.empty() && !std::ranges::count(known, value)) known.push_back(value);
      }
    }
    for (std::size_t i = 0; i < comparison_.designs.size(); ++i) {
      for (const auto& known : values[i])
        comparison_.designs[i].variables.push_back(fmt::format("{}", fmt::join(known, "/")));
    }
  }

  void AddPaths() {
    std::vector<GroupedValue> drags;
    for (std::size_t i = 0; i < comparison_.flights.size(); ++i) {
      const ComparedFlight& flight = comparison_.flights[i];
      const std::optional<StandardDrag> drag = StandardDragOf(flight, comparison_.standard);
      if (drag) drags.push_back({i, flight.design, {drag->log_drag, drag->survey_std}, SurveyOf(flight)});
    }
    ComparedQuantity log_drag;
    CompareGroups(drags, comparison_.designs.size(), &log_drag);
    for (std::size_t design = 0; design < comparison_.designs.size(); ++design) {
      if (log_drag.means[design].count == 0) continue;
      const double mean = log_drag.means[design].mean;
      const Estimate estimate = log_drag.mean_estimates[design].value_or(Estimate{mean, 0.0, mean, mean});
      StandardPath path = PathOf(design, estimate, comparison_.standard);
      if (!path.samples.empty()) comparison_.paths.push_back(std::move(path));
    }
  }

  const std::vector<DaySummary>& days_;
  const CompareOptions& options_;
  Comparison comparison_;
};

}  // namespace

Expected<Comparison> CompareDays(const std::vector<DaySummary>& days, const CompareOptions& options) {
  return Comparing(days, options).Run();
}

}  // namespace loftline
