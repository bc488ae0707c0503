// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "report/flight_drawing.h"
#include "study/plan_flight.h"

#include <string>

namespace loftline {

// The planned flight as the camera would see it: the picture's frame, the survey's marks, a dot for every frame,
// launch, apogee and landing. What lies outside the picture is drawn beside it on a darker ground. As PNG bytes.
// Errors: "cannot-draw", "cannot-encode" (kInternal).
Expected<std::string> PlanPng(const FlightPlan& plan);

// Its parts: how much is shown, and what is drawn.
ShownRegion PlanRegion(const FlightPlan& plan);
FlightDrawing DrawPlan(const FlightPlan& plan, const ShownRegion& region, double text_size);

}  // namespace loftline
