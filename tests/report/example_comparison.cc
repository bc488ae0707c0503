// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/report/example_comparison.h"

#include "study/statistics.h"
#include "tests/report/example_day.h"

#include <array>
#include <cmath>
#include <functional>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kSpeed_m_s = 20.9, kAngle_deg = 54.8, kGravity = 9.812, kHeight_m = 0.4;
constexpr std::array<double, 5> kStudent95{0.0, 12.706, 4.303, 3.182, 2.776};  // two-sided, by degrees of freedom

StandardPath Fly(double drag_per_m, std::size_t design) {
  constexpr double kStep_s = 1e-3;
  StandardPath path{.design = design};
  double x = 0.0;
  double y = 0.0;
  double vx = kSpeed_m_s * std::cos(RadFromDeg(kAngle_deg));
  double vy = kSpeed_m_s * std::sin(RadFromDeg(kAngle_deg));
  for (int i = 0; y > -kHeight_m; ++i) {
    if (i % 40 == 0) path.samples.push_back({x, y, y - 0.012 * x, y + 0.012 * x});
    const double speed = std::hypot(vx, vy);
    vx -= kStep_s * drag_per_m * speed * vx;
    vy -= kStep_s * (kGravity + drag_per_m * speed * vy);
    x += kStep_s * vx;
    y += kStep_s * vy;
    path.apogee_m = std::max(path.apogee_m, y);
    path.flight_time_s += kStep_s;
  }
  path.range_m = x;
  return path;
}

std::vector<Measured> ValuesOf(const Comparison& comparison, const ComparedQuantity& quantity, std::size_t design) {
  std::vector<Measured> values;
  for (const ComparedValue& value : quantity.values) {
    if (comparison.flights[value.flight].design == design) values.push_back(value.value);
  }
  return values;
}

std::vector<double> Plain(const std::vector<Measured>& values) {
  std::vector<double> plain;
  for (const Measured& value : values) plain.push_back(value.value);
  return plain;
}

void AddMeans(const Comparison& comparison, ComparedQuantity& quantity) {
  for (std::size_t design = 0; design < comparison.designs.size(); ++design) {
    const GroupMean mean = WeightedMean(ValuesOf(comparison, quantity, design));
    const double std = std::sqrt(mean.variance_of_mean);
    const double half = mean.count >= 2 ? kStudent95.at(mean.count - 1) * std : 0.0;
    quantity.means.push_back(mean);
    quantity.mean_estimates.emplace_back();
    if (mean.count >= 2) quantity.mean_estimates.back() = Estimate{mean.mean, std, mean.mean - half, mean.mean + half};
  }
}

void AddPairs(const Comparison& comparison, ComparedQuantity& quantity, const char* more) {
  for (std::size_t one = 0; one < comparison.designs.size(); ++one) {
    for (std::size_t other = one + 1; other < comparison.designs.size(); ++other) {
      PairComparison pair{.one = one, .other = other};
      pair.difference = Compare(quantity.means[one], quantity.means[other], comparison.designs.size()).value();
      const std::vector<double> ones = Plain(ValuesOf(comparison, quantity, one));
      const std::vector<double> others = Plain(ValuesOf(comparison, quantity, other));
      pair.effect_size = EffectSize(ones, others);
      pair.permutation_p = PermutationP(ones, others);
      const Estimate& difference = pair.difference.difference;
      pair.differ = difference.low_95 > 0.0 || difference.high_95 < 0.0;
      const bool first_more = difference.value < 0.0;
      pair.sentence = pair.differ
                          ? fmt::format("{} {} {} {:.2f} {}than {}.",
                                        comparison.designs[first_more ? one : other].name,
                                        more,
                                        "by",
                                        std::abs(difference.value),
                                        quantity.unit.empty() ? "" : quantity.unit + " ",
                                        comparison.designs[first_more ? other : one].name)
                          : fmt::format("Cannot tell {} from {} yet: about 6 more launches of each would show it.",
                                        comparison.designs[other].name,
                                        comparison.designs[one].name);
      quantity.pairs.push_back(std::move(pair));
    }
  }
}

ComparedQuantity Quantity(const Comparison& comparison,
                          const char* key,
                          const char* label,
                          const char* unit,
                          const char* more,
                          const std::function<Measured(const FlightQuantities&)>& value) {
  ComparedQuantity quantity;
  quantity.key = key;
  quantity.label = label;
  quantity.unit = unit;
  quantity.standard = quantity.key.starts_with("standard_");
  for (std::size_t i = 0; i < comparison.flights.size(); ++i) {
    if (comparison.flights[i].used) {
      quantity.values.push_back({i, value(comparison.flights[i].record.outcome.flight)});
    }
  }
  AddMeans(comparison, quantity);
  AddPairs(comparison, quantity, more);
  quantity.share_by_design = 0.87;
  quantity.together = WelchAnova{31.2, 2.0, 3.9, 0.0041};
  return quantity;
}

Measured Of(const std::optional<Estimate>& estimate) {
  return {estimate->value, estimate->std};
}

void AddFlights(Comparison& comparison) {
  comparison.designs = {{"Heron", {"ogive"}, 0, 0}, {"Curlew", {"cone"}, 0, 0}, {"Puffin", {"blunt"}, 0, 0}};
  int order = 0;
  for (const FlightRecord& record : ExampleDay().flights) {
    ComparedFlight flight{.record = record, .order = ++order};
    while (comparison.designs[flight.design].name != record.row.design) ++flight.design;
    flight.used = record.outcome.outcome == Outcome::kMeasured;
    if (record.outcome.outcome == Outcome::kRefused) flight.why_not = "Its clip was refused: two things fly in it.";
    if (record.outcome.outcome == Outcome::kUnreadable) flight.why_not = "Its clip cannot be read.";
    if (record.outcome.verdict == Verdict::kCaution && flight.used) {
      flight.why_not = "Its landing was calculated, not seen: kept, with its own wider uncertainty.";
    }
    ComparedDesign& design = comparison.designs[flight.design];
    ++design.launched;
    design.used += flight.used ? 1 : 0;
    comparison.flights.push_back(std::move(flight));
  }
}

TapeAgreement Tape(const Comparison& comparison) {
  constexpr std::array<double, 6> kOff_m{0.21, -0.14, 0.08, -0.25, 0.17, 0.05};
  TapeAgreement tape;
  for (std::size_t i = 0; tape.pairs.size() < kOff_m.size(); ++i) {
    if (!comparison.flights[i].used) continue;
    const Measured measured = Of(comparison.flights[i].record.outcome.flight.range_m);
    tape.pairs.push_back({i, measured, {measured.value - kOff_m[tape.pairs.size()], 0.05}});
  }
  tape.mean_difference_m = Estimate{0.020, 0.078, -0.18, 0.22};
  tape.spread_m = 0.19;
  tape.low_limit_m = -0.51;
  tape.high_limit_m = 0.55;
  tape.chi2 = 5.1;
  tape.p = 0.53;
  tape.sentence =
      "Measured and taped ranges agree within their uncertainties: on average 0.02 m apart (95 %: −0.18 to 0.22 m).";
  return tape;
}

}  // namespace

Comparison ExampleComparison() {
  Comparison comparison;
  comparison.days = {"/somewhere/ebbing-hollow"};
  comparison.grouped_by = "design";
  comparison.variables = {"nose"};
  AddFlights(comparison);
  comparison.standard = {kSpeed_m_s, kAngle_deg, false, false, 1.221, kGravity, kHeight_m};
  const auto standard = [](double StandardPath::*what, double std) {
    return [what, std](const FlightQuantities& flight) {
      return Measured{Fly(flight.drag_per_m->value, 0).*what, std};
    };
  };
  comparison.quantities = {
      Quantity(comparison,
               "standard_range_m",
               "Range at the standard launch",
               "m",
               "flies further",
               standard(&StandardPath::range_m, 0.24)),
      Quantity(comparison,
               "standard_apogee_m",
               "Apogee at the standard launch",
               "m",
               "flies higher",
               standard(&StandardPath::apogee_m, 0.09)),
      Quantity(comparison,
               "range_m",
               "Range as launched",
               "m",
               "flew further",
               [](const FlightQuantities& flight) { return Of(flight.range_m); }),
      Quantity(comparison,
               "launch_speed_m_s",
               "Launch speed",
               "m/s",
               "was launched faster",
               [](const FlightQuantities& flight) { return Of(flight.launch_speed_m_s); }),
      Quantity(
          comparison, "drag_coefficient", "Drag coefficient", "", "has more drag", [](const FlightQuantities& flight) {
            return Of(flight.drag_coefficient);
          })};
  constexpr std::array<double, 3> kMeanDrag{0.0204, 0.0287, 0.0416};
  for (std::size_t i = 0; i < kMeanDrag.size(); ++i) comparison.paths.push_back(Fly(kMeanDrag[i], i));
  comparison.tape = Tape(comparison);
  comparison.warnings = {{"push-differs",
                          Severity::kCaution,
                          "Curlew was pushed harder than the others: 23.6 m/s against 19.8 and 21.0 m/s.",
                          "Compare at the standard launch, and let the same feet launch every design."}};
  comparison.headline =
      "At the same push Heron flies furthest: 3.0 m further than Curlew (95 %: 1.9 to 4.1 m) and 6.4 m further than "
      "Puffin. As flown one would have picked Curlew, which was pushed hardest.";
  return comparison;
}

}  // namespace loftline
