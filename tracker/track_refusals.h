// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"

#include <cstddef>
#include <string>

namespace loftline {

// A flight seen on fewer frames is not measured: two coordinates each for six unknowns of the path, and as many again
// to tell that it is one.
inline constexpr std::size_t kFewestFlightPoints = 8;

// Why a clip gives no track, and what to do about it: docs/findings.md.
Error ClipTooShort(int frames);
Error NoRocketInClip();
Error NoFlightThroughMarks();
Error TimeBaseSuspect(double capture_rate_hz, double stored_rate_hz);
Error NoSuchFrame(int frame, int frames);  // kInvalidInput
Error TooFewFlightPoints(std::size_t points);

// kRefused with these texts.
Error Refused(const char* code, std::string message, std::string advice);

}  // namespace loftline
