// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

// One measured quantity as a reader meets it. Plain UTF-8 text, not escaped for HTML.
struct Answer {
  std::string key;    // as in result.json: "launch_speed_m_s"
  std::string label;  // "Launch speed"
  std::string unit;   // "m/s"; empty for pure numbers
  bool main = false;  // shown large
  std::optional<Estimate> estimate;
  std::string sentence;  // what it means, for a student; why it is missing where it is
};

// Every quantity of a result in reading order, those that could not be had included.
std::vector<Answer> Answers(const FlightResult& result);

// How straight it flew, in a sentence or two for a student; why that cannot be told where it cannot.
std::string StraightnessSentence(const Straightness& straightness);

// The verdict in a few words, and the sentence that explains it.
std::string VerdictTitle(Verdict verdict);
std::string VerdictSentence(const FlightResult& result);

// Findings with the gravest first; findings of equal weight keep their order.
std::vector<Finding> FindingsByWeight(std::vector<Finding> findings);

// The clip's file name, or what stands for it.
std::string ClipTitle(const FlightResult& result);

// What everybody who launches or lands something should have read; shown wherever such numbers are.
std::vector<std::string> SafetyRules();

}  // namespace loftline
