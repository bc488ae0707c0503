// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/day_warnings.h"

#include "core/distributions.h"
#include "study/comparison_sentences.h"
#include "study/statistics.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace loftline {
namespace {

constexpr int kFewestFlights = 3;
constexpr double kAlpha = 0.05;
constexpr double kHeavierShare = 0.05;  // of the mass: as much as a difference in range that is worth knowing

class Warnings {
 public:
  explicit Warnings(const Comparison& comparison) : comparison_(comparison) {}

  std::vector<Finding> All() {
    Variables();
    Order();
    Drift();
    FewFlights();
    Push();
    Masses();
    Missing();
    Tape();
    return std::move(findings_);
  }

 private:
  // Values of a design variable, design by design.
  std::vector<std::set<std::string>> ValuesOf(std::size_t variable) const {
    std::vector<std::set<std::string>> values(comparison_.designs.size());
    for (const ComparedFlight& flight : comparison_.flights) {
      if (flight.used && variable < flight.record.row.variables.size()) {
        values[flight.design].insert(flight.record.row.variables[variable]);
      }
    }
    std::erase_if(values, [](const std::set<std::string>& each) { return each.empty(); });
    return values;
  }

  void Variables() {
    std::vector<std::string> differ, vary;
    for (std::size_t i = 0; i < comparison_.variables.size(); ++i) {
      const std::vector<std::set<std::string>> values = ValuesOf(i);
      const bool within = std::ranges::any_of(values, [](const auto& each) { return each.size() > 1; });
      const bool between = std::ranges::any_of(values, [&](const auto& each) { return each != values.front(); });
      if (within) vary.push_back(comparison_.variables[i]);
      if (between && comparison_.variables[i] != comparison_.grouped_by) differ.push_back(comparison_.variables[i]);
    }
    const std::size_t allowed = comparison_.grouped_by == "design" ? 1 : 0;
    if (differ.size() > allowed) {
      if (allowed == 0) differ.insert(differ.begin(), comparison_.grouped_by);
      findings_.push_back({"several-variables",
                           Severity::kCaution,
                           fmt::format("The groups differ in more than one thing: {}.", fmt::join(differ, ", ")),
                           "Which of them made the difference cannot be told. Change one at a time."});
    }
    std::erase(vary, comparison_.grouped_by);
    if (!vary.empty()) {
      findings_.push_back({"design-not-uniform",
                           Severity::kNote,
                           fmt::format("Rockets of one group are not all alike: {}.", fmt::join(vary, ", ")),
                           "Give them different design names, or build them alike."});
    }
  }

  // Orders of the launches of each design on one day.
  std::map<std::size_t, std::vector<double>> OrdersOf(std::size_t day) const {
    std::map<std::size_t, std::vector<double>> orders;
    for (const ComparedFlight& flight : comparison_.flights) {
      if (flight.used && flight.day == day) orders[flight.design].push_back(flight.order);
    }
    return orders;
  }

  void Order() {
    for (std::size_t day = 0; day < comparison_.days.size(); ++day) {
      const auto orders = OrdersOf(day);
      for (auto one = orders.begin(); one != orders.end(); ++one) {
        for (auto other = std::next(one); other != orders.end(); ++other) {
          if (TellApart(*one, *other)) return;
        }
      }
    }
  }

  bool TellApart(const std::pair<const std::size_t, std::vector<double>>& one,
                 const std::pair<const std::size_t, std::vector<double>>& other) {
    if (one.second.size() < 2 || other.second.size() < 2) return false;
    const auto [one_first, one_last] = std::ranges::minmax(one.second);
    const auto [other_first, other_last] = std::ranges::minmax(other.second);
    if (one_last > other_first && other_last > one_first) return false;
    const bool one_leads = one_last < other_first;
    findings_.push_back(
        {"order-not-shuffled",
         Severity::kCaution,
         fmt::format("All of {} were launched before all of {}.",
                     comparison_.designs[one_leads ? one.first : other.first].name,
                     comparison_.designs[one_leads ? other.first : one.first].name),
         "Whatever changed meanwhile (wind, legs, a leaking tube) looks like the design. Shuffle the order: "
         "'loftline plan --designs' makes a table."});
    return true;
  }

  // The slope of what is left over the order of launch, once each design's own mean is taken off.
  void Drift() {
    for (const ComparedQuantity& quantity : comparison_.quantities) {
      if (quantity.key != "standard_range_m" && quantity.key != "launch_speed_m_s") continue;
      double sxx = 0.0, sxy = 0.0, syy = 0.0;
      std::map<std::size_t, std::pair<double, int>> centres;
      for (const ComparedValue& each : quantity.values) {
        auto& [sum, count] = centres[comparison_.flights[each.flight].design];
        sum += comparison_.flights[each.flight].order;
        ++count;
      }
      std::map<std::size_t, double> means;
      for (const ComparedValue& each : quantity.values) {
        const std::size_t design = comparison_.flights[each.flight].design;
        means[design] += each.value.value / centres[design].second;
      }
      for (const ComparedValue& each : quantity.values) {
        const ComparedFlight& flight = comparison_.flights[each.flight];
        const auto& [sum, count] = centres[flight.design];
        const double x = flight.order - sum / count, y = each.value.value - means[flight.design];
        sxx += x * x;
        sxy += x * y;
        syy += y * y;
      }
      const double dof = static_cast<double>(quantity.values.size()) - static_cast<double>(means.size()) - 1.0;
      if (dof < 2.0 || !(sxx > 0.0) || comparison_.days.size() > 1) continue;
      TellDrift(quantity, sxy / sxx, std::sqrt(std::max(syy - sxy * sxy / sxx, 0.0) / dof / sxx), dof);
    }
  }

  void TellDrift(const ComparedQuantity& quantity, double slope, double std, double dof) {
    if (!(std > 0.0) || StudentTwoTails(slope / std, dof) >= 0.5 * kAlpha) return;  // two quantities are looked at
    findings_.push_back({"day-drifts",
                         Severity::kCaution,
                         fmt::format("{} {} with each launch by {} (± {}, one standard uncertainty).",
                                     quantity.label,
                                     slope > 0.0 ? "rose" : "fell",
                                     InUnit(std::abs(slope), std, quantity.unit),
                                     InUnit(std, std, quantity.unit)),
                         "Something changed over the day. A shuffled order keeps it from looking like a design."});
  }

  void FewFlights() {
    std::vector<std::string> few;
    for (const ComparedDesign& design : comparison_.designs) {
      if (design.used < kFewestFlights) few.push_back(fmt::format("{} ({})", design.name, design.used));
    }
    if (few.empty()) return;
    findings_.push_back({"few-flights",
                         Severity::kCaution,
                         fmt::format("Fewer than {} usable flights: {}.", kFewestFlights, fmt::join(few, ", ")),
                         "The spread of so few is hardly known, and their intervals are wide for it. Launch more."});
  }

  void Push() {
    for (const ComparedQuantity& quantity : comparison_.quantities) {
      if (quantity.key != "launch_speed_m_s") continue;
      const bool together = quantity.together && quantity.together->p < kAlpha;
      const bool pair = quantity.pairs.size() == 1 && quantity.pairs.front().differ;
      if (!together && !pair) return;
      std::vector<std::string> speeds;
      for (std::size_t i = 0; i < comparison_.designs.size(); ++i) {
        if (quantity.means[i].count > 0) {
          speeds.push_back(fmt::format("{} {:.1f} m/s", comparison_.designs[i].name, quantity.means[i].mean));
        }
      }
      findings_.push_back({"push-differs",
                           Severity::kCaution,
                           fmt::format("The designs were not pushed alike: {}.", fmt::join(speeds, ", ")),
                           "Do not compare them as launched: look at the standard launch."});
    }
  }

  void Masses() {
    std::vector<std::string> masses;
    double least = 1e9, most = 0.0;
    for (std::size_t design = 0; design < comparison_.designs.size(); ++design) {
      double sum = 0.0;
      int count = 0;
      for (const ComparedFlight& flight : comparison_.flights) {
        if (!flight.used || flight.design != design || !flight.record.row.mass_kg) continue;
        sum += flight.record.row.mass_kg->value;
        ++count;
      }
      if (count == 0) continue;
      least = std::min(least, sum / count);
      most = std::max(most, sum / count);
      masses.push_back(fmt::format("{} {:.2f} g", comparison_.designs[design].name, 1e3 * sum / count));
    }
    if (masses.size() < 2 || most < (1.0 + kHeavierShare) * least) return;
    findings_.push_back(
        {"masses-differ",
         Severity::kNote,
         fmt::format("The designs differ in mass: {}.", fmt::join(masses, ", ")),
         "At the same launch speed the heavier of two alike flies further; the drag area leaves the mass "
         "out."});
  }

  void Missing() {
    int missing = 0;
    for (const ComparedFlight& flight : comparison_.flights) {
      missing += flight.record.outcome.outcome == Outcome::kMissing ? 1 : 0;
    }
    if (missing == 0) return;
    findings_.push_back({"day-incomplete",
                         Severity::kCaution,
                         fmt::format("{} flight{} of the table {} not measured yet.",
                                     missing,
                                     missing == 1 ? "" : "s",
                                     missing == 1 ? "is" : "are"),
                         "Run 'loftline batch' again: it goes on where it stopped."});
  }

  void Tape() {
    if (!comparison_.tape || comparison_.tape->p >= 0.01) return;
    findings_.push_back(
        {"tape-disagrees",
         Severity::kCaution,
         comparison_.tape->sentence,
         "Check the baseline's length, its distance from the flight, and from where the tape was laid."});
  }

  const Comparison& comparison_;
  std::vector<Finding> findings_;
};

}  // namespace

std::vector<Finding> DayWarnings(const Comparison& comparison) {
  return Warnings(comparison).All();
}

}  // namespace loftline
