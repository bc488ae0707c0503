// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/tape_agreement.h"

#include "core/distributions.h"
#include "core/uncertainty.h"
#include "study/comparison_sentences.h"
#include "study/statistics.h"

#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kDisagreeP = 0.01;

std::string Sentence(const TapeAgreement& tape) {
  if (!tape.mean_difference_m) {
    const TapeAgreement::Pair& pair = tape.pairs.front();
    const double std = std::hypot(pair.measured_m.std, pair.taped_m.std);
    return fmt::format("The one range that was taped too is {} off, where {} is to be expected.",
                       InUnit(std::abs(pair.measured_m.value - pair.taped_m.value), std, "m"),
                       InUnit(1.96 * std, std, "m"));
  }
  const Estimate& mean = *tape.mean_difference_m;
  const double half = 0.5 * (mean.high_95 - mean.low_95);
  std::string text = fmt::format("Measured ranges are {} {} than the taped ones on average (± {}, 95 %); ",
                                 InUnit(std::abs(mean.value), half, "m"),
                                 mean.value < 0.0 ? "shorter" : "longer",
                                 InUnit(half, half, "m"));
  text += tape.p < kDisagreeP ? "they differ by more than their uncertainties explain."
                              : "their uncertainties explain the differences.";
  return text;
}

}  // namespace

std::optional<TapeAgreement> CompareWithTape(const std::vector<ComparedFlight>& flights) {
  TapeAgreement tape;
  std::vector<double> differences;
  for (std::size_t i = 0; i < flights.size(); ++i) {
    const ComparedFlight& flight = flights[i];
    const std::optional<Estimate>& range_m = flight.record.outcome.flight.range_m;
    if (!flight.use.raw || !range_m || !flight.record.row.tape_range_m) continue;
    const Measured& taped_m = *flight.record.row.tape_range_m;
    tape.pairs.push_back({i, {range_m->value, range_m->std}, taped_m});
    differences.push_back(range_m->value - taped_m.value);
    tape.chi2 += differences.back() * differences.back() / (range_m->std * range_m->std + taped_m.std * taped_m.std);
  }
  if (tape.pairs.empty()) return std::nullopt;
  tape.p = ChiSquareTail(tape.chi2, static_cast<double>(tape.pairs.size()));
  const GroupMean mean = PlainMean(differences);
  if (mean.count >= 2) {
    const double std = std::sqrt(mean.variance_of_mean);
    const double half = CoverageFactor(static_cast<double>(mean.count) - 1.0, 0.95) * std;
    tape.mean_difference_m = Estimate{mean.mean, std, mean.mean - half, mean.mean + half};
    tape.spread_m = mean.spread;
    tape.low_limit_m = mean.mean - 1.96 * mean.spread;
    tape.high_limit_m = mean.mean + 1.96 * mean.spread;
  }
  tape.sentence = Sentence(tape);
  return tape;
}

}  // namespace loftline
