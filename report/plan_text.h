// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/plan_flight.h"

#include <string>

namespace loftline {

// A plan for a terminal: what will be in view, what measuring it would give, where to stand. UTF-8, at most 80 columns,
// a newline at the end.
std::string PlanText(const FlightPlan& plan);

// Where each uncertainty would come from and how to shrink it; empty where nothing is expected.
std::string PlanBudgetText(const FlightPlan& plan);

}  // namespace loftline
