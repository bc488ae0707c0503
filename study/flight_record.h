// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "fit/flight_result.h"
#include "study/day_table.h"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace loftline {

enum class Outcome {
  kMeasured,    // the verdict says how well
  kRefused,     // the clip is sound, but no number can be had from it
  kUnreadable,  // the clip cannot be read, or does not fit its survey
  kSkipped,     // the table says so
  kMissing,     // not measured yet: the run was broken off
};
constexpr std::string_view OutcomeName(Outcome outcome) {
  switch (outcome) {
    case Outcome::kMeasured:
      return "measured";
    case Outcome::kRefused:
      return "refused";
    case Outcome::kUnreadable:
      return "unreadable";
    case Outcome::kSkipped:
      return "skipped";
    case Outcome::kMissing:
      return "missing";
  }
  return "missing";
}

// What measuring one clip gave, as far as a launch day needs it: all that summary, comparison and planning look at.
struct FlightOutcome {
  Outcome outcome = Outcome::kMissing;
  Verdict verdict = Verdict::kRefused;
  std::vector<Finding> findings;  // of an unreadable clip: the error as a refusal
  FlightQuantities flight;
  std::optional<Estimate> rms_angle_deg;  // off the path
  bool turned_over = false;
  // The part of a quantity's standard uncertainty that comes from the survey, by the quantity's key in result.json. It
  // is the same mistake in all flights of one survey and one direction, whereas the rest is each flight's own.
  std::map<std::string, double> survey_std;
  double air_density_kg_per_m3 = 0.0, gravity_m_per_s2 = 0.0;
  double height_above_landing_m = 0.0;
  bool apogee_in_view = false, landing_in_view = false;
  std::string clip_sha256, survey_sha256;
};

// A row of the table with what was measured of it: one line of the summary.
struct FlightRecord {
  DayRow row;
  FlightOutcome outcome;
  std::string folder;  // of its files, relative to the day's folder, with '/'; empty where there are none
  std::string stem;    // of the files in it
};

}  // namespace loftline
