// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "fit/flight_result.h"
#include "fit/simulator/validation.h"
#include "study/shared_mistakes.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace loftline {

// A flight's comparison with what several of them share.
struct ValidatedFlight {
  FlightValidation validation;
  // Of each measured quantity's standard uncertainty, by its key in result.json, the part that comes from the survey.
  std::map<std::string, double> survey_std;
  std::string survey;  // equal where survey and direction are: such flights share the survey's mistakes
};
ValidatedFlight AsValidated(FlightValidation validation, const FlightResult& result);

// What the simulator gets wrong in one quantity, over many flights.
struct QuantityBias {
  std::string key, label, unit;
  int flights = 0, agree = 0, disagree = 0, too_uncertain = 0;
  std::optional<Estimate> error;     // the mean of E, in UNIT; from two flights on
  std::optional<Estimate> relative;  // the mean of E/D; not of an angle
  bool by_share = false;             // judged by E/D: the simulator was asked about flights of different sizes
  // In UNIT, or as a share where BY_SHARE: how much E differs from flight to flight beyond each one's own uncertainty,
  // the usual size of that, and whether it alone explains the scatter.
  double between = 0.0, own_std = 0.0, scatter_p = 1.0;
  double p = 1.0;           // of a mean as far from zero by chance
  double p_adjusted = 1.0;  // the same, Holm's, over all quantities
  int among = 0;            // how many those are
  bool biased = false;
  bool alone_biased = false;   // not BIASED, but it would be if nothing had been asked but this one quantity
  double matters_ratio = 0.0;  // mean of E over what matters in a flight, without sign
  std::string sentence;
};

// The drag that would mend the simulator, over many flights.
struct MeanDragFactor {
  int flights = 0;
  int left_out = 0;  // flights whose simulator has next to no drag, or far too much: a factor says nothing there
  Estimate factor;
  double between = 0.0;  // standard deviation of its logarithm from flight to flight, beyond each one's own
  double p = 1.0;        // of a factor as far from one by chance
  std::string sentence;
};

struct SimulatorBias {
  int agree = 0, disagree = 0, too_uncertain = 0;  // paths
  std::vector<QuantityBias> quantities;
  std::optional<MeanDragFactor> drag_factor;  // from two flights on
  std::string most_wrong;                     // key of the quantity that it gets most wrong; empty: biased in none
  std::vector<Finding> findings;              // what the mean does not show
  std::string headline;
};

// Errors of all flights together. A mistake of the survey is the same in all its flights, and what the simulator states
// of its own uncertainty is taken for one mistake in all flights: neither averages out.
SimulatorBias FindBias(const std::vector<ValidatedFlight>& flights);

}  // namespace loftline
