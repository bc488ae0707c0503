// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/expected_result.h"

#include "fit/budget_advice.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace loftline {
namespace {

double Median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t middle = values.size() / 2;
  return values.size() % 2 == 1 ? values[middle] : 0.5 * (values[middle - 1] + values[middle]);
}

// Frames fall anywhere between two moments: each draw begins at another share of a frame.
double PhaseOf(int draw) {
  constexpr double kGoldenRatio = 0.6180339887498949;
  const double turns = (draw + 0.5) * kGoldenRatio;
  return turns - std::floor(turns);
}

std::vector<BudgetLine> MeanBudget(const std::vector<FlightResult>& results, const std::string& key, double std) {
  std::map<std::string, double> shares;
  for (const FlightResult& result : results) {
    const auto lines = result.budget.find(key);
    if (lines == result.budget.end()) continue;
    for (const BudgetLine& line : lines->second) shares[line.source] += line.share;
  }
  double sum = 0.0;
  for (const auto& [source, share] : shares) sum += share;
  std::vector<BudgetLine> lines;
  for (const auto& [source, share] : shares) {
    const double mean_share = share / sum;
    lines.push_back({source, std * std::sqrt(mean_share), mean_share, std::string(BudgetAdvice(source))});
  }
  std::stable_sort(
      lines.begin(), lines.end(), [](const BudgetLine& a, const BudgetLine& b) { return a.share > b.share; });
  return lines;
}

std::optional<ExpectedQuantity> QuantityOf(const std::vector<FlightResult>& results, const QuantityKey& key) {
  std::vector<double> values, stds, halves;
  for (const FlightResult& result : results) {
    const std::optional<Estimate>& estimate = result.flight.*key.member;
    if (!estimate) continue;
    values.push_back(estimate->value);
    stds.push_back(estimate->std);
    halves.push_back(0.5 * (estimate->high_95 - estimate->low_95));
  }
  if (2 * values.size() <= results.size()) return std::nullopt;
  const double std = Median(stds);
  return ExpectedQuantity{Median(values), std, Median(halves), MeanBudget(results, key.key, std)};
}

// The findings that at least half of the draws raise, as the first of them words it.
std::vector<Finding> UsualFindings(const std::vector<FlightResult>& results) {
  std::vector<Finding> usual;
  std::map<std::string, std::size_t> counts;
  for (const FlightResult& result : results) {
    for (const Finding& finding : result.findings) {
      if (counts[finding.code]++ == 0) usual.push_back(finding);
    }
  }
  std::erase_if(usual, [&](const Finding& finding) { return 2 * counts[finding.code] < results.size(); });
  return usual;
}

}  // namespace

Expected<ExpectedResult> ExpectResult(const PlannedShot& shot,
                                      double flight_time_s,
                                      const Survey& survey,
                                      const DrawOptions& options,
                                      const RunControl& control) {
  FitOptions fit = options.fit;
  fit.rotation_deg = shot.rotation_deg;
  fit.gravity_ruler = fit.drag_change = options.all_checks;
  std::vector<FlightResult> results;
  std::optional<Error> failure;
  for (int draw = 0; draw < options.draws; ++draw) {
    const double first_s = FirstFreeS(shot) + PhaseOf(draw) / shot.rate_hz;
    const std::vector<PlannedFrame> frames = FramesOf(shot, flight_time_s, first_s);
    const Track track = DrawTrack(frames, shot, options.noise, static_cast<std::uint64_t>(draw) + 1);
    Expected<FlightResult> result = FitFlight(track, survey, fit, control);
    if (!result && result.error().kind == ErrorKind::kCancelled) return result.error();
    if (result) {
      results.push_back(*std::move(result));
    } else if (!failure) {
      failure = result.error();
    }
    if (control.on_progress) control.on_progress((draw + 1.0) / options.draws);
  }
  if (failure && 2 * results.size() <= static_cast<std::size_t>(options.draws)) return *failure;

  ExpectedResult expected;
  expected.draws = static_cast<int>(results.size());
  for (const QuantityKey& key : kQuantities) {
    if (const std::optional<ExpectedQuantity> quantity = QuantityOf(results, key)) {
      expected.quantities[key.key] = *quantity;
    }
  }
  expected.findings = UsualFindings(results);
  const bool cautions = std::any_of(expected.findings.begin(), expected.findings.end(), [](const Finding& finding) {
    return finding.severity == Severity::kCaution;
  });
  expected.verdict = cautions ? Verdict::kCaution : Verdict::kAccepted;
  expected.assumed = results.front().assumed;
  return expected;
}

}  // namespace loftline
