// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/plan_flight.h"

#include <string>

namespace loftline {

// Where to stand, in a sentence: "Step back from 12 m to 18 m and tilt the phone up 9°: drag ±9 % becomes ±5 %, launch
// speed ±1.4 % becomes ±1.1 %." Or that no place is clearly better.
std::string StandAdvice(const FlightPlan& plan);

}  // namespace loftline
