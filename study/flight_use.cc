// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/flight_use.h"

#include "study/summary_file.h"

#include <array>
#include <string_view>

namespace loftline {
namespace {

struct Rule {
  std::string_view code;
  bool raw, drag;
  const char* why_not;
};
constexpr std::array kRules = {
    Rule{"rulers-disagree", false, false, "Its metres are in doubt: gravity and the survey disagree on them."},
    Rule{"residuals-large", false, false, "Its path does not fit a steady flight."},
    Rule{"tumbling", true, false, "It turned over in flight, so that its drag is not the rocket's own."},
    Rule{"drag-changes", true, false, "Its drag changed in flight."},
    Rule{"drag-not-measurable", true, false, "Too little of its arc was seen to measure its drag."},
};

}  // namespace

FlightUse UseOf(const FlightOutcome& outcome, bool accepted_only) {
  if (outcome.outcome != Outcome::kMeasured) return {false, false, WhyNot(outcome)};
  FlightUse use;
  for (const Finding& finding : outcome.findings) {
    if (finding.severity != Severity::kCaution) continue;
    if (accepted_only) return {false, false, "It has a caution, and only accepted flights were asked for."};
    for (const Rule& rule : kRules) {
      if (rule.code != finding.code) continue;
      use.raw = use.raw && rule.raw;
      use.drag = use.drag && rule.drag;
      if (use.why_not.empty()) use.why_not = rule.why_not;
      if (!rule.raw) return {false, false, rule.why_not};
    }
  }
  return use;
}

}  // namespace loftline
