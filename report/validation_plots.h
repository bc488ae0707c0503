// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/validation.h"

#include <string>

namespace loftline {

// Both flights from the side, in metres, one scale for both axes: the measured path with its 95 % band, solid where the
// rocket was seen and dashed where it is calculated, the simulator's with its own band where it states one, their
// apogees and landings, and thin lines that join the places of one moment. Heights against time where the simulator
// tells no distances. An <svg> element, classes as in validation.css; empty where there are no moments.
std::string PathsSvg(const FlightValidation& flight);

// E along the path against time, with its 95 % band and a line at zero. Empty where there is nothing to draw.
enum class ErrorAxis { kAlong, kUp };
std::string ErrorSvg(const FlightValidation& flight, ErrorAxis axis);

// The 95 % interval of one quantity's E beside a line at zero and marks at what matters: a small <svg> element to stand
// in a table. LABEL is for screen readers.
std::string IntervalSvg(const ValidatedQuantity& quantity, const std::string& label);

// The verdict's shape, to stand beside its words. Hidden from screen readers.
std::string AgreementKey(Agreement agreement);
// The same about (X, Y) inside a drawing; TITLE is what the pointer shows.
std::string AgreementMark(Agreement agreement, double x, double y, double radius, const std::string& title = "");

}  // namespace loftline
