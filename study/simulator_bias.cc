// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/simulator_bias.h"

#include "calibrate/survey_file.h"
#include "study/bias_sentences.h"
#include "study/measure_day.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kBiased = 0.05;      // Holm's p below it
constexpr double kSizesDiffer = 0.2;  // range of the simulator's values over their mean
// Pushes differ: beyond each flight's own uncertainty at that p, and by as much of their mean.
constexpr double kLaunchesDifferP = 0.01, kLaunchesDiffer = 0.03;
constexpr const char* kSimulator = "simulator";  // the mistake that all flights share

// One flight's error of one quantity.
struct FlightError {
  const ValidatedFlight* flight = nullptr;
  const ValidatedQuantity* quantity = nullptr;
};

void Count(Agreement agreement, int* agree, int* disagree, int* too_uncertain) {
  ++*(agreement == Agreement::kAgrees ? agree : agreement == Agreement::kDisagrees ? disagree : too_uncertain);
}

bool IsAngle(const std::string& unit) {
  return unit == "deg";
}

// E with its uncertainty, and what of it is shared; all times SCALE. The survey's part of u_val is taken to be the
// share that it has in the measured value's own variance.
SharedValue ValueOf(const FlightError& error, double scale) {
  const ValidatedQuantity& quantity = *error.quantity;
  SharedValue value{.value = {scale * quantity.error, std::abs(scale) * quantity.error_std}};
  const double simulator_std = std::min(quantity.simulated.std, quantity.error_std);
  const double rest = std::sqrt(quantity.error_std * quantity.error_std - simulator_std * simulator_std);
  if (simulator_std > 0.0) value.shared[kSimulator] = std::abs(scale) * simulator_std;
  const auto survey = error.flight->survey_std.find(quantity.key);
  if (survey != error.flight->survey_std.end() && quantity.measured.std > 0.0) {
    const double share = std::min(1.0, survey->second / quantity.measured.std);
    value.shared["survey " + error.flight->survey] = std::abs(scale) * share * rest;
  }
  return value;
}

std::optional<Estimate> MeanOfE(const std::vector<FlightError>& errors) {
  std::vector<SharedValue> values;
  values.reserve(errors.size());
  for (const FlightError& error : errors) values.push_back(ValueOf(error, 1.0));
  return MeanWithSharedMistakes(values).estimate;
}

// E/D = S/D - 1, whose uncertainty is that of E times S/D^2: exact to first order where S has none of its own.
std::vector<SharedValue> Shares(const std::vector<FlightError>& errors) {
  std::vector<SharedValue> values;
  for (const FlightError& error : errors) {
    const double measured = error.quantity->measured.value;
    if (!(measured > 0.0)) return {};
    SharedValue value = ValueOf(error, 1.0 / measured);
    const double widened = std::max(error.quantity->simulated.value, 0.0) / measured;
    value.value.std *= widened;
    for (auto& [name, std] : value.shared) std *= widened;
    values.push_back(std::move(value));
  }
  return values;
}

bool SizesDiffer(const std::vector<FlightError>& errors) {
  double low = INFINITY, high = -INFINITY, sum = 0.0;
  for (const FlightError& error : errors) {
    const double size = error.quantity->simulated.value;
    low = std::min(low, size);
    high = std::max(high, size);
    sum += size;
  }
  return high - low > kSizesDiffer * std::abs(sum) / static_cast<double>(errors.size());
}

double MattersRatio(const std::vector<FlightError>& errors) {
  double ratio = 0.0;
  for (const FlightError& error : errors) {
    if (error.quantity->matters > 0.0) ratio += error.quantity->error / error.quantity->matters;
  }
  return std::abs(ratio) / static_cast<double>(errors.size());
}

QuantityBias BiasOf(const std::vector<FlightError>& errors) {
  const ValidatedQuantity& first = *errors.front().quantity;
  QuantityBias bias{.key = first.key, .label = first.label, .unit = first.unit};
  bias.flights = static_cast<int>(errors.size());
  for (const FlightError& error : errors) {
    Count(error.quantity->agreement, &bias.agree, &bias.disagree, &bias.too_uncertain);
  }
  const std::vector<SharedValue> shares = IsAngle(bias.unit) ? std::vector<SharedValue>{} : Shares(errors);
  bias.by_share = !shares.empty() && SizesDiffer(errors);
  std::vector<SharedValue> judged = shares;
  if (!bias.by_share) {
    judged.clear();
    for (const FlightError& error : errors) judged.push_back(ValueOf(error, 1.0));
  }
  const SharedMean mean = MeanWithSharedMistakes(judged);
  bias.between = mean.mean.between;
  bias.own_std = mean.own_std;
  bias.scatter_p = mean.scatter_p;
  bias.p = mean.p;
  bias.error = MeanOfE(errors);
  if (!shares.empty()) bias.relative = MeanWithSharedMistakes(shares).estimate;
  bias.matters_ratio = MattersRatio(errors);
  return bias;
}

// In the order in which the flights name them.
std::vector<QuantityBias> Quantities(const std::vector<ValidatedFlight>& flights) {
  std::vector<std::string> keys;
  std::map<std::string, std::vector<FlightError>> errors;
  for (const ValidatedFlight& flight : flights) {
    for (const ValidatedQuantity& quantity : flight.validation.quantities) {
      if (!errors.contains(quantity.key)) keys.push_back(quantity.key);
      errors[quantity.key].push_back({&flight, &quantity});
    }
  }
  std::vector<QuantityBias> biases;
  biases.reserve(keys.size());
  for (const std::string& key : keys) biases.push_back(BiasOf(errors[key]));
  return biases;
}

void Judge(std::vector<QuantityBias>& quantities) {
  std::vector<double> p;
  for (const QuantityBias& bias : quantities) {
    if (bias.error) p.push_back(bias.p);
  }
  const std::vector<double> adjusted = HolmAdjusted(p);
  std::size_t next = 0;
  for (QuantityBias& bias : quantities) {
    if (!bias.error) continue;
    bias.p_adjusted = adjusted[next++];
    bias.among = static_cast<int>(p.size());
    bias.biased = bias.p_adjusted < kBiased;
    bias.alone_biased = !bias.biased && bias.p < kBiased;
  }
}

std::string MostWrong(const std::vector<QuantityBias>& quantities) {
  const QuantityBias* worst = nullptr;
  for (const QuantityBias& bias : quantities) {
    if (bias.biased && (worst == nullptr || bias.matters_ratio > worst->matters_ratio)) worst = &bias;
  }
  return worst == nullptr ? "" : worst->key;
}

// By its logarithm, in which factors of 2 and 1/2 lie equally far from one.
std::optional<MeanDragFactor> DragFactor(const std::vector<ValidatedFlight>& flights) {
  std::vector<SharedValue> logs;
  int left_out = 0;
  for (const ValidatedFlight& flight : flights) {
    const auto mend = std::ranges::find(flight.validation.mends, "drag", &Mend::key);
    if (mend == flight.validation.mends.end() || !mend->factor || !(mend->change.value > 0.0)) continue;
    if (IsBeyondFactor(*mend)) {
      ++left_out;
      continue;
    }
    SharedValue value{.value = {std::log(mend->change.value), mend->change.std / mend->change.value}};
    const auto survey = flight.survey_std.find("drag_per_m");
    const Estimate& drag = flight.validation.drag.measured_per_m;
    if (survey != flight.survey_std.end() && drag.std > 0.0) {
      value.shared["survey " + flight.survey] = std::min(1.0, survey->second / drag.std) * value.value.std;
    }
    logs.push_back(std::move(value));
  }
  const SharedMean mean = MeanWithSharedMistakes(logs);
  if (!mean.estimate) return std::nullopt;
  MeanDragFactor factor{
      .flights = static_cast<int>(logs.size()), .left_out = left_out, .between = mean.mean.between, .p = mean.p};
  const double value = std::exp(mean.estimate->value);
  factor.factor = {
      value, value * mean.estimate->std, std::exp(mean.estimate->low_95), std::exp(mean.estimate->high_95)};
  factor.sentence = DragFactorSentence(factor);
  return factor;
}

// One simulation for pushes that differ: their spread is then taken for the simulator's.
std::optional<Finding> LaunchesDiffer(const std::vector<ValidatedFlight>& flights,
                                      const std::vector<QuantityBias>& quantities) {
  const std::string& table = flights.front().validation.simulator_file;
  const auto other = [&](const ValidatedFlight& flight) { return flight.validation.simulator_file != table; };
  const auto speed = std::ranges::find(quantities, "launch_speed_m_s", &QuantityBias::key);
  if (speed == quantities.end() || !speed->error || std::ranges::any_of(flights, other)) return std::nullopt;
  double measured = 0.0;
  int count = 0;
  for (const ValidatedFlight& flight : flights) {
    for (const ValidatedQuantity& quantity : flight.validation.quantities) {
      if (quantity.key != speed->key) continue;
      measured += quantity.measured.value;
      ++count;
    }
  }
  const double spread = speed->between * count / measured;
  if (speed->scatter_p >= kLaunchesDifferP || spread < kLaunchesDiffer) return std::nullopt;
  return Finding{
      "launches-differ",
      Severity::kCaution,
      fmt::format("The flights were launched at speeds that differ by {:.0f} % (standard deviation), but the "
                  "simulator was asked about one launch: its errors are mostly differences of the pushes.",
                  100.0 * spread),
      "Simulate each flight from its own measured launch, and pair them: --table, with --launch measured."};
}

// What the means alone do not show.
std::vector<Finding> Findings(const std::vector<ValidatedFlight>& flights,
                              const std::vector<QuantityBias>& quantities) {
  if (flights.size() < 2) return {};
  std::vector<Finding> findings;
  if (std::optional<Finding> differ = LaunchesDiffer(flights, quantities)) findings.push_back(std::move(*differ));
  const auto other = [&](const ValidatedFlight& flight) { return flight.survey != flights.front().survey; };
  if (std::ranges::none_of(flights, other)) {
    findings.push_back(
        {"one-survey",
         Severity::kNote,
         "All flights were measured with one survey: a mistake in it, of the baseline's length say, shifts all of "
         "them alike, and is part of each mean's uncertainty.",
         "Tape and mark the scene anew for some of the flights."});
  }
  return findings;
}

}  // namespace

ValidatedFlight AsValidated(FlightValidation validation, const FlightResult& result) {
  ValidatedFlight flight{.validation = std::move(validation)};
  flight.survey_std = OutcomeOf(result).survey_std;
  flight.survey =
      SurveyAsJson(result.survey).dump() + (result.flight.direction == Direction::kLeft ? " left" : " right");
  return flight;
}

SimulatorBias FindBias(const std::vector<ValidatedFlight>& flights) {
  SimulatorBias bias;
  for (const ValidatedFlight& flight : flights) {
    Count(flight.validation.agreement, &bias.agree, &bias.disagree, &bias.too_uncertain);
  }
  bias.quantities = Quantities(flights);
  Judge(bias.quantities);
  for (QuantityBias& quantity : bias.quantities) quantity.sentence = BiasSentence(quantity);
  bias.most_wrong = MostWrong(bias.quantities);
  bias.drag_factor = DragFactor(flights);
  bias.findings = Findings(flights, bias.quantities);
  bias.headline = BiasHeadline(bias);
  return bias;
}

}  // namespace loftline
