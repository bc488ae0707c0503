// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// What the page and the terminal both say of a comparison. Plain UTF-8 text, not escaped for HTML.

// "Heron, Curlew and Puffin"; "12 designs"; "8 values of nose"
std::string ComparisonTitle(const Comparison& comparison);

// "10 of 12 launches of “ebbing-hollow” used."
std::string UsedSentence(const Comparison& comparison);

// What the standard launch is, and why there is one.
std::string StandardLaunchSentence(const StandardLaunch& standard);

// Nothing where the comparison does not have it, or no flight has a value of it.
const ComparedQuantity* FindQuantity(const Comparison& comparison, std::string_view key);

// "24.11 ± 0.93 m" with 95 %; a single flight's value without; a dash where there is none.
std::string MeanText(const ComparedQuantity& quantity, std::size_t design);

// "Heron, launch 3"; with the day's folder where there are several.
std::string FlightName(const Comparison& comparison, const ComparedFlight& flight);

// Flights that are left out of all or some quantities, those of one reason together.
struct LeftOut {
  std::string why;
  std::vector<std::string> flights;
  bool altogether = true;
};
std::vector<LeftOut> FlightsLeftOut(const Comparison& comparison);

// Effect size and probabilities of a pair, for those who look for them.
std::string PairNumbers(const ComparedQuantity& quantity, const PairComparison& pair);

// Of all designs together: Welch's test, and how much of the spread lies between the designs. Empty where neither is
// known.
std::string TogetherSentence(const Comparison& comparison, const ComparedQuantity& quantity);

}  // namespace loftline
