// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_defaults.h"
#include "study/measure_day.h"

#include <array>
#include <cmath>
#include <string_view>

namespace loftline {
namespace {

// Sources of a flight's uncertainty that are its own, and not a mistake in the survey that others share.
constexpr std::array<std::string_view, 9> kOwnSources = {
    "path noise", "azimuth", "wind", "usual drag", "drag change", "body middle", "light and shade", "mass", "diameter"};

bool IsOwn(std::string_view source) {
  for (const std::string_view own : kOwnSources) {
    if (own == source) return true;
  }
  return false;
}

}  // namespace

FlightOutcome OutcomeOf(const FlightResult& result) {
  FlightOutcome outcome;
  const bool refused = result.verdict == Verdict::kRefused;
  outcome.outcome = refused ? Outcome::kRefused : Outcome::kMeasured;
  outcome.verdict = result.verdict;
  outcome.findings = result.findings;
  outcome.clip_sha256 = result.clip_sha256;
  if (refused) return outcome;
  outcome.flight = result.flight;
  outcome.rms_angle_deg = result.straightness.rms_angle_deg;
  outcome.turned_over = result.straightness.turned_over;
  outcome.apogee_in_view = result.apogee_in_view;
  outcome.landing_in_view = result.landing_in_view;
  outcome.air_density_kg_per_m3 = result.air_density_kg_per_m3;
  outcome.gravity_m_per_s2 = result.gravity_m_per_s2;
  outcome.height_above_landing_m =
      result.survey.launch.height_above_landing_m.value_or(survey_defaults::kHeightAboveLandingM.value);
  for (const auto& [quantity, lines] : result.budget) {
    double variance = 0.0;
    for (const BudgetLine& line : lines) variance += IsOwn(line.source) ? 0.0 : line.std * line.std;
    outcome.survey_std[quantity] = std::sqrt(variance);
  }
  return outcome;
}

FlightOutcome OutcomeOf(const Error& error) {
  FlightOutcome outcome;
  outcome.outcome = error.kind == ErrorKind::kRefused ? Outcome::kRefused : Outcome::kUnreadable;
  const std::string where = error.key.empty() ? "" : error.key + ": ";
  outcome.findings = {{error.code, Severity::kRefusal, where + error.message, error.advice}};
  return outcome;
}

}  // namespace loftline
