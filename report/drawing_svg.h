// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "report/flight_drawing.h"

#include <string>

namespace loftline {

// The drawing as SVG elements without the enclosing <svg>, in shown coordinates. Looks come from report.css: each
// element has the class of its kind, and lines and letters have a dark edge so that they stand out on any picture.
std::string DrawingAsSvg(const FlightDrawing& drawing, double text_size);

}  // namespace loftline
