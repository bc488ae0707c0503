// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <optional>
#include <string>
#include <vector>

namespace loftline {

// One flight's value of a quantity, with the part of its uncertainty that flights of one survey share.
struct FlightValue {
  Measured value;
  double survey_std = 0.0;
};

// What is compared, and how its sentences are put: "B flies 3.1 m further than A at the same push".
struct QuantityKind {
  const char* key;
  const char* label;
  const char* unit;
  bool standard = false;
  double worth_share = 0.05;  // of the median: the difference that is worth knowing, unless one is given
  const char* more_verb;      // "flies"
  const char* more;           // "further": of the one with the larger value
  const char* tail;           // "at the same push"
};
const std::vector<QuantityKind>& QuantityKinds();

// Nothing where the flight has no such value, or may not be compared by it.
std::optional<FlightValue> ValueOf(const QuantityKind& kind,
                                   const ComparedFlight& flight,
                                   const StandardLaunch& standard);

}  // namespace loftline
