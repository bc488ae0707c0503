// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/judged_flight.h"

#include <map>
#include <string>
#include <vector>

namespace loftline::accuracy {

// How true the stated uncertainties of one quantity are, over a group of flights.
struct CoverageFigures {
  int inside = 0, count = 0;       // truths inside their 95 % intervals
  double p_value = 1.0;            // of that number, were the chance 95 %: exact, two-sided
  double mean_squared_std = 0.0;   // of error / stated standard uncertainty; 1 is right
  double rms_relative = 0.0;       // RMS error over the truth
  double median_half_width = 0.0;  // of the 95 % interval, over the truth
  double rms_over_bound = 0.0;     // RMS of error over the Cramer-Rao bound, where bounds are known; else 0
  double share() const { return count > 0 ? static_cast<double>(inside) / count : 0.0; }
};
CoverageFigures CoverageOf(const std::vector<JudgedFlight>& flights, const std::string& quantity);

// What the verdicts were worth.
struct VerdictFigures {
  int flights = 0, measured = 0, accepted = 0, caution = 0, refused = 0, no_result = 0;
  int wrongly_cautioned = 0;         // measured, sound, and yet with a caution that nothing on the clip calls for
  std::map<std::string, int> codes;  // of the cautions and refusals; a flight counts once for each
  std::vector<std::string> silently_wrong;
};
VerdictFigures VerdictsOf(const std::vector<JudgedFlight>& flights);

// Where the apogee is out of the picture it is right to warn of it; nowhere else.
bool IsJustified(const std::string& kind, const std::string& code);

// The figures that are wanted.
struct IntervalGoals {
  double least_share = 0.93, most_share = 0.97;  // of all flights, for each quantity
  double least_p_value = 0.01;                   // of each kind and quantity
  double most_rms_over_bound = 1.15;             // for launch speed and apogee
  double most_wrongly_cautioned = 0.03;          // share of the sound flights
};

// The kinds, in the order in which they first come up.
std::vector<std::string> KindsOf(const std::vector<JudgedFlight>& flights);
std::vector<JudgedFlight> OfKind(const std::vector<JudgedFlight>& flights, const std::string& kind);

// One sentence for each figure that is missed.
std::vector<std::string> IntervalMisses(const std::vector<JudgedFlight>& flights, const IntervalGoals& goals = {});

}  // namespace loftline::accuracy
