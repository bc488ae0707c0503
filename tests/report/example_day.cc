// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/report/example_day.h"

#include <array>

namespace loftline {
namespace {

struct Launch {
  const char* clip;
  const char* design;
  const char* nose;
  int launch;
  double speed_m_s, angle_deg, apogee_m, range_m, drag_coefficient;
};

// The harder pushes went to Curlew, which has the more drag: it flew as far as Heron all the same.
constexpr std::array<Launch, 12> kLaunches{{{"IMG_2041.mp4", "Heron", "ogive", 1, 20.11, 54.2, 11.32, 24.11, 0.402},
                                            {"IMG_2042.mp4", "Curlew", "cone", 1, 23.60, 53.1, 13.21, 24.62, 0.561},
                                            {"IMG_2043.mp4", "Puffin", "blunt", 1, 21.02, 56.4, 11.24, 18.71, 0.837},
                                            {"IMG_2044.mp4", "Curlew", "cone", 2, 22.95, 55.8, 13.38, 23.17, 0.588},
                                            {"IMG_2045.mp4", "Heron", "ogive", 2, 19.38, 52.7, 10.41, 23.52, 0.388},
                                            {"IMG_2046.mp4", "Puffin", "blunt", 2, 0, 0, 0, 0, 0},
                                            {"IMG_2047.mp4", "Heron", "ogive", 3, 20.74, 57.9, 12.53, 24.02, 0.431},
                                            {"IMG_2048.mp4", "Puffin", "blunt", 3, 20.37, 55.0, 10.57, 18.55, 0.798},
                                            {"IMG_2049.mp4", "Curlew", "cone", 3, 24.31, 54.4, 14.05, 25.06, 0.572},
                                            {"IMG_2050.mp4", "Puffin", "blunt", 4, 21.66, 53.6, 11.19, 19.41, 0.861},
                                            {"IMG_2051.mp4", "Heron", "ogive", 4, 18.87, 55.5, 10.42, 21.98, 0.409},
                                            {"IMG_2052.mp4", "Curlew", "cone", 4, 0, 0, 0, 0, 0}}};

Estimate Of(double value, double std) {
  return {value, std, value - 1.96 * std, value + 1.96 * std};
}

FlightOutcome Measurement(const Launch& launch) {
  FlightOutcome outcome;
  outcome.outcome = Outcome::kMeasured;
  outcome.verdict = Verdict::kAccepted;
  outcome.flight.launch_speed_m_s = Of(launch.speed_m_s, 0.09);
  outcome.flight.launch_angle_deg = Of(launch.angle_deg, 0.27);
  outcome.flight.apogee_m = Of(launch.apogee_m, 0.05);
  outcome.flight.range_m = Of(launch.range_m, 0.18);
  outcome.flight.drag_coefficient = Of(launch.drag_coefficient, 0.026);
  outcome.flight.drag_per_m = Of(0.05 * launch.drag_coefficient, 0.0009);
  outcome.air_density_kg_per_m3 = 1.221;
  outcome.gravity_m_per_s2 = 9.812;
  outcome.height_above_landing_m = 0.4;
  outcome.apogee_in_view = outcome.landing_in_view = true;
  return outcome;
}

FlightOutcome Failure(Outcome kind, Finding why) {
  FlightOutcome outcome;
  outcome.outcome = kind;
  outcome.findings = {std::move(why)};
  return outcome;
}

FlightOutcome OutcomeOf(std::size_t i) {
  if (i == 5) {
    return Failure(Outcome::kRefused,
                   {"path-ambiguous",
                    Severity::kRefusal,
                    "Two things in this clip fly like a rocket, and neither clearly more than the other.",
                    "Mark the launch point, or film one launch at a time."});
  }
  if (i == 11) {
    return Failure(Outcome::kUnreadable,
                   {"clip-damaged",
                    Severity::kRefusal,
                    "The clip ends in the middle of a picture; 41 of some 210 pictures can be read.",
                    "Copy the original from the phone again, by cable."});
  }
  FlightOutcome outcome = Measurement(kLaunches[i]);
  if (i == 6) {
    outcome.verdict = Verdict::kCaution;
    outcome.landing_in_view = false;
    outcome.flight.range_m = Of(kLaunches[i].range_m, 0.52);
    outcome.findings = {{"landing-extrapolated",
                         Severity::kCaution,
                         "The landing is outside the picture, so that range, flight time and impact speed are "
                         "calculated.",
                         "Step back or turn the camera so that the landing is in view."}};
  }
  return outcome;
}

FlightRecord RecordOf(std::size_t i) {
  const Launch& launch = kLaunches[i];
  FlightRecord record;
  record.row.line = static_cast<int>(i) + 2;
  record.row.clip = std::string("clips/") + launch.clip;
  record.row.survey = "flat.survey.json";
  record.row.design = launch.design;
  record.row.launch = std::to_string(launch.launch);
  record.row.mass_kg = {0.0069, 0.0001};
  record.row.diameter_m = {0.024, 0.0002};
  record.row.variables = {launch.nose};
  constexpr std::array<double, 5> kTapedLess_m{0.21, -0.14, 0.08, -0.25, 0.17};
  if (i < kTapedLess_m.size()) record.row.tape_range_m = Measured{launch.range_m - kTapedLess_m.at(i), 0.05};
  if (i == 3) record.row.note = "a fin was bent straight again before this launch";
  record.outcome = OutcomeOf(i);
  record.stem = std::string(launch.clip, 8);
  if (record.outcome.outcome != Outcome::kUnreadable) record.folder = "flights/" + record.stem + "-5d0f3a81";
  return record;
}

}  // namespace

DaySummary ExampleDay() {
  DaySummary summary;
  summary.folder = "ebbing-hollow";
  summary.table = "ebbing-hollow.csv";
  summary.table_sha256 = "4ac1d0be52f7a9e86be1a8a3ff20795e8d39c80d4adf1c7b1f0e5b6c3a9d2e74";
  summary.program_version = "0.1.0";
  summary.variables = {"nose"};
  for (std::size_t i = 0; i < kLaunches.size(); ++i) summary.flights.push_back(RecordOf(i));
  return summary;
}

DaySummary LargeDay(int count) {
  DaySummary summary = ExampleDay();
  const std::vector<FlightRecord> few = summary.flights;
  summary.flights.clear();
  for (int i = 0; i < count; ++i) {
    FlightRecord record = few[static_cast<std::size_t>(i) % few.size()];
    record.row.line = i + 2;
    record.row.launch = std::to_string(i + 1);
    summary.flights.push_back(std::move(record));
  }
  return summary;
}

}  // namespace loftline
