// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace loftline {

// What a sentence about the flight says, without its words, for a page that says it in another language: names and
// numbers as shown ("about": "18.9", "seen": "yes").
using SentenceFacts = std::map<std::string, std::string>;

// One measured quantity as a reader meets it. Plain UTF-8 text, not escaped for HTML.
struct Answer {
  std::string key;    // as in result.json: "launch_speed_m_s"
  std::string label;  // "Launch speed"
  std::string unit;   // "m/s"; empty for pure numbers
  bool main = false;  // shown large
  std::optional<Estimate> estimate;
  std::string sentence;  // what it means, for a student; why it is missing where it is
  SentenceFacts
      facts;  // of the sentence; "missing" says for what want: "size-and-mass", "mass", "clip", "straightness"
};

// Every quantity of a result in reading order, those that could not be had included.
std::vector<Answer> Answers(const FlightResult& result);

// How straight it flew, in a sentence or two for a student; why that cannot be told where it cannot.
std::string StraightnessSentence(const Straightness& straightness);
// "turned_deg" where it turned over; "reason" where it cannot be told; else "rms_deg" and "most_deg", with "straight",
// or with "wobble_hz" and "wobble_deg" and, where the wobble fades, "half_s" ("roughly" where that is not sure), else
// "grows".
SentenceFacts StraightnessFacts(const Straightness& straightness);

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
