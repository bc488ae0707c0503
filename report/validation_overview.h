// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/validation_file.h"

#include <string>
#include <vector>

namespace loftline {

// The parts of a checked simulator's page that are about many flights together, in HTML, every text from outside
// escaped.

// Which flights have a part of their own on the page, by their place in the list, in the page's order: all of a few; of
// many those that disagree, the least probable first, as far as the page stays light.
std::vector<std::size_t> FlightsInFull(const std::vector<ValidatedFlight>& flights);

// "Of 12 flights 7 disagree with the simulator, 4 agree within the uncertainty, and of 1 it is too uncertain to say."
std::string CountsSentence(const std::vector<ValidatedFlight>& flights);

std::string RelativeErrorsSection(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias);

// What is wrong in all of them alike: the mean of E for each quantity, and beside it how much flights differ.
std::string BiasSection(const SimulatorBias& bias);

// Results that could not be compared, those of one reason together.
std::string LeftOutSection(const std::vector<UnvalidatedFlight>& left_out);

// A row for each flight, those in IN_FULL with a link to their part.
std::string FlightsTableSection(const std::vector<ValidatedFlight>& flights, const std::vector<std::size_t>& in_full);

// What tells a flight's ids from those of others: "-3".
std::string FlightSuffix(std::size_t flight);

}  // namespace loftline
