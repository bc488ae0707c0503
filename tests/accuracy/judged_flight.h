// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cmath>
#include <map>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline::accuracy {

// One quantity of a result beside its truth.
struct JudgedQuantity {
  double truth = 0.0, value = 0.0, std = 0.0, low_95 = 0.0, high_95 = 0.0;
  double error() const { return value - truth; }
  double relative() const { return error() / truth; }
  double in_stds() const { return error() / std; }
  double half_width() const { return 0.5 * (high_95 - low_95); }
  bool inside() const { return low_95 <= truth && truth <= high_95; }
};

// What became of one flight whose truth is known: from a clip, from its track, or from a made-up track.
struct JudgedFlight {
  std::string kind, name;
  bool measured = false;              // there are numbers
  std::string verdict;                // accepted, caution, refused; empty where the program broke off without a result
  std::vector<std::string> cautions;  // codes of the findings that are more than notes, the refusal's too
  std::map<std::string, JudgedQuantity> quantities;  // by the names of result.json's "flight"
  std::map<std::string, double> bound_std;           // least standard error that any unbiased estimate can have

  const JudgedQuantity* Find(const std::string& quantity) const;
  bool accepted() const { return verdict == "accepted"; }
};

// "wind" of the condition "interval-wind".
std::string KindOf(const std::string& condition);

// Takes verdict, findings and quantities from a result.json. Throws what nlohmann::json throws on a malformed one.
JudgedFlight JudgeResult(const nlohmann::json& result, const std::map<std::string, double>& truths);
// A flight without a result: refused for the reason CODE.
JudgedFlight JudgeRefusal(const std::string& code);

// An accepted result with a quantity of CountedQuantities() off by more than 4 standard uncertainties or by more than
// 10 %: the name of each such quantity with its error, empty where there is none.
std::string SilentlyWrong(const JudgedFlight& flight);

}  // namespace loftline::accuracy
