// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/judged_flight.h"

#include "tests/accuracy/clip_comparison.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

constexpr double kMostStds = 4.0, kMostRelative = 0.10;

}  // namespace

const JudgedQuantity* JudgedFlight::Find(const std::string& quantity) const {
  const auto found = quantities.find(quantity);
  return found == quantities.end() ? nullptr : &found->second;
}

std::string KindOf(const std::string& condition) {
  const std::string prefix = "interval-";
  return condition.starts_with(prefix) ? condition.substr(prefix.size()) : condition;
}

JudgedFlight JudgeResult(const nlohmann::json& result, const std::map<std::string, double>& truths) {
  JudgedFlight judged;
  judged.verdict = result.at("verdict");
  for (const auto& finding : result.at("findings")) {
    if (finding.at("severity") != "note") judged.cautions.push_back(finding.at("code"));
  }
  if (!result.contains("flight") || !result.at("flight").is_object()) return judged;
  for (const auto& [name, estimate] : result.at("flight").items()) {
    const auto truth = truths.find(name);
    if (truth == truths.end() || !estimate.is_object()) continue;
    judged.quantities[name] = {
        truth->second, estimate.at("value"), estimate.at("std"), estimate.at("low_95"), estimate.at("high_95")};
  }
  judged.measured = judged.verdict != "refused" && !judged.quantities.empty();
  return judged;
}

JudgedFlight JudgeRefusal(const std::string& code) {
  JudgedFlight judged;
  judged.verdict = "refused";
  judged.cautions.push_back(code);
  return judged;
}

std::string SilentlyWrong(const JudgedFlight& flight) {
  std::string wrong;
  if (!flight.accepted()) return wrong;
  for (const std::string& name : CountedQuantities()) {
    const JudgedQuantity* quantity = flight.Find(name);
    if (!quantity) continue;
    // Not "greater": a number that is none is as wrong.
    if (std::abs(quantity->in_stds()) <= kMostStds && std::abs(quantity->relative()) <= kMostRelative) continue;
    wrong += fmt::format("{}{} {:+.1f} % ({:+.1f} std)",
                         wrong.empty() ? "" : ", ",
                         name,
                         100 * quantity->relative(),
                         quantity->in_stds());
  }
  return wrong;
}

}  // namespace loftline::accuracy
