// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "study/simulator_bias.h"

#include <string>
#include <vector>

namespace loftline {

// What the page of a checked simulator says. Plain UTF-8 text, not escaped for HTML.

// "agrees within the uncertainty", "disagrees", "too uncertain to say"
std::string AgreementWords(Agreement agreement);
// "agrees", "disagrees", "too uncertain to say"
std::string ShortAgreementWords(Agreement agreement);

// As it stands behind a number on a page: "°" for "deg".
std::string ShownUnit(const std::string& unit);

// A file's name without its folders.
std::string NameOf(const std::string& file);

// "coarse.csv and 01-whole-arc.mp4"; "coarse.csv and 12 flights"; "12 simulations and 12 flights"
std::string ValidationTitle(const std::vector<ValidatedFlight>& flights);

// The clip, or where none is named the result.
std::string FlightTitle(const FlightValidation& flight);

// The names of the table's columns that were not used, the first of them; "" where there are none.
std::string PassedOverWords(const FlightValidation& flight);

// How the simulator's clock and origin were laid upon the footage's, in a sentence or two.
std::string AlignmentSentence(const FlightValidation& flight);

// What one change of the simulator would do: "Drag × 1.23 ± 0.05: with this alone its path agrees with the footage."
std::string MendSentence(const Mend& mend);

// What the same change would be for several flights, from the least to the largest: "drag × 1.2 to 1.4". At least one.
std::string MendRange(const std::vector<const Mend*>& mends);

// ", line 12, x": where in its file it stands, as far as known.
std::string PlaceInFile(const Error& error);

// "+" before E where it is above zero in the digits that its uncertainty leaves it.
std::string PlusSign(const ValidatedQuantity& quantity);

// E with half its 95 % interval: "+0.61 ± 0.17 m".
std::string ErrorText(const ValidatedQuantity& quantity);

// Whether the simulator states an uncertainty of its own.
bool StatesUncertainty(const FlightValidation& flight);

// From a standard uncertainty of the path to half the 95 % interval.
double Coverage95(const PathComparison& path);

}  // namespace loftline
