// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/plan_flight.h"

#include <nlohmann/json.hpp>

namespace loftline {

// What plan.json holds (docs/formats.md, "Plan"; docs/schemas/plan.schema.json).
nlohmann::ordered_json PlanAsJson(const FlightPlan& plan);

}  // namespace loftline
