// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "core/measured.h"
#include "study/flight_record.h"
#include "study/flight_use.h"
#include "study/statistics.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

// The one launch at which all rockets are compared: the same speed, angle, air and landing level, no wind.
struct StandardLaunch {
  double speed_m_s = 0.0, angle_deg = 0.0;
  bool speed_given = false, angle_given = false;  // by the user; otherwise medians of the flights used
  double air_density_kg_per_m3 = 0.0, gravity_m_per_s2 = 0.0, height_above_landing_m = 0.0;  // medians
};

// One flight of the comparison.
struct ComparedFlight {
  std::size_t day = 0;     // of Comparison::days
  std::size_t design = 0;  // of Comparison::designs
  FlightRecord record;
  int order = 0;        // of the launch within its day, counted from 1
  FlightUse use;        // of what it may be compared, and why not of all
  bool used = false;    // in at least one quantity
  std::string why_not;  // a sentence, where it is left out of all or some quantities
};

struct ComparedDesign {
  std::string name;
  std::vector<std::string> variables;  // the values of Comparison::variables, "3/4" where they differ within it
  int launched = 0, used = 0;
};

// One flight's value of one quantity, as it enters the comparison.
struct ComparedValue {
  std::size_t flight = 0;  // of Comparison::flights
  Measured value;          // with the flight's own uncertainty
};

struct PairComparison {
  std::size_t one = 0, other = 0;  // of Comparison::designs
  Difference difference;           // OTHER minus ONE
  std::optional<Estimate> effect_size;
  std::optional<double> permutation_p;
  bool differ = false;                    // the interval leaves out zero
  std::optional<int> more_launches_each;  // that would show worth_knowing; only where they do not differ
  std::string sentence;
};

struct ComparedQuantity {
  std::string key;    // "range_m", "standard_range_m", "drag_coefficient" ...
  std::string label;  // "Range at the standard launch"
  std::string unit;   // "m"; empty for pure numbers
  bool standard = false;
  double worth_knowing = 0.0;                           // the difference that planning asks about, in the unit
  std::vector<ComparedValue> values;                    // of all designs, in order of Comparison::flights
  std::vector<GroupMean> means;                         // one for each design; count 0 where there is none
  std::vector<std::optional<Estimate>> mean_estimates;  // with 95 % intervals, from two flights on
  std::optional<WelchAnova> together;                   // more than two designs
  std::optional<double> share_by_design;                // of all the spread: R^2 of the one-way analysis of variance
  std::vector<PairComparison> pairs;
};

// The path of a design's average rocket at the standard launch.
struct StandardPath {
  std::size_t design = 0;
  struct Sample {
    double x_m = 0.0, y_m = 0.0;
    double low_y_m = 0.0, high_y_m = 0.0;  // of the 95 % interval of the design's mean drag
  };
  std::vector<Sample> samples;  // evenly in time, from the launch point to the landing level
  std::vector<Sample> beyond;   // the same paths further on, until the higher end of the interval has landed, too
  double apogee_m = 0.0, range_m = 0.0, flight_time_s = 0.0;
};

// Measured ranges beside taped ones: measured minus taped (Bland and Altman, Lancet i (1986) 307).
struct TapeAgreement {
  struct Pair {
    std::size_t flight = 0;
    Measured measured_m, taped_m;
  };
  std::vector<Pair> pairs;
  std::optional<Estimate> mean_difference_m;        // from two pairs on
  double spread_m = 0.0;                            // standard deviation of the differences
  std::optional<double> low_limit_m, high_limit_m;  // between which 95 of 100 differences lie
  double chi2 = 0.0, p = 1.0;  // do the stated uncertainties explain the differences? one degree of freedom a pair
  std::string sentence;
};

struct Comparison {
  std::vector<std::string> days;        // folders
  std::string grouped_by;               // "design", or the design variable asked for
  std::vector<std::string> variables;   // names of all design variables
  std::vector<ComparedDesign> designs;  // in order of their first flight
  std::vector<ComparedFlight> flights;  // in order of launch
  StandardLaunch standard;
  std::vector<ComparedQuantity> quantities;
  std::vector<StandardPath> paths;
  std::optional<TapeAgreement> tape;
  std::vector<Finding> warnings;
  std::string headline;  // the answer in one sentence or two: the standard range, or the drag where none
};

struct CompareOptions {
  std::optional<std::string> variable;         // group by this design variable instead of the design
  std::optional<double> speed_m_s, angle_deg;  // of the standard launch
  std::optional<double> worth_knowing_m;       // of range and apogee; otherwise 5 % of the median, rounded
  bool accepted_only = false;                  // leave out flights of verdict caution altogether
};

}  // namespace loftline
