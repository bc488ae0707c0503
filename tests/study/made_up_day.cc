// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/study/made_up_day.h"

#include "tests/support/synthetic_flight.h"

#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kAirDensity = 1.2, kGravity = 9.81, kHeight = 0.4;

Estimate About(double value, double relative_std) {
  const double std = relative_std * value;
  return {value, std, value - 1.96 * std, value + 1.96 * std};
}

FlightOutcome Measure(const MadeUpLaunch& launch) {
  SyntheticScene scene;
  scene.speed_m_s = launch.speed_m_s;
  scene.angle_deg = launch.angle_deg;
  scene.drag_per_m = launch.drag_per_m;
  scene.gravity_m_s2 = kGravity;
  scene.height_above_landing_m = kHeight;
  const SyntheticTruth truth = SyntheticTruthOf(scene);
  FlightOutcome outcome;
  outcome.outcome = Outcome::kMeasured;
  outcome.verdict = Verdict::kAccepted;
  outcome.flight.launch_speed_m_s = About(launch.speed_m_s, 0.005);
  outcome.flight.launch_angle_deg = About(launch.angle_deg, 0.003);
  outcome.flight.range_m = About(truth.range_m, 0.005);
  outcome.flight.apogee_m = About(truth.apogee_m, 0.003);
  outcome.flight.flight_time_s = About(truth.flight_time_s, 0.002);
  outcome.flight.drag_per_m = About(launch.drag_per_m * (1.0 + launch.drag_error), launch.drag_std);
  const double drag_std = outcome.flight.drag_per_m->std;
  outcome.survey_std["drag_per_m"] = drag_std * std::sqrt(launch.survey_share);
  outcome.air_density_kg_per_m3 = kAirDensity;
  outcome.gravity_m_per_s2 = kGravity;
  outcome.height_above_landing_m = kHeight;
  outcome.survey_sha256 = launch.survey;
  return outcome;
}

}  // namespace

DaySummary MakeUpDay(const std::vector<MadeUpLaunch>& launches, const std::vector<std::string>& variables) {
  DaySummary day;
  day.folder = "made-up";
  day.variables = variables;
  for (const MadeUpLaunch& launch : launches) {
    FlightRecord record;
    const int number = static_cast<int>(day.flights.size()) + 1;
    record.row.line = number + 1;
    record.row.clip = fmt::format("launch-{}.mp4", number);
    record.row.design = launch.design;
    record.row.launch = std::to_string(number);
    record.row.mass_kg = Measured{0.0065, 0.00005};
    record.row.diameter_m = Measured{0.024, 0.0001};
    record.row.variables = launch.variables;
    record.row.variables.resize(variables.size());
    record.outcome = Measure(launch);
    day.flights.push_back(std::move(record));
  }
  return day;
}

}  // namespace loftline
