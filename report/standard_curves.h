// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <string>

namespace loftline {

// The paths of the designs' average rockets at the standard launch, both axes to one scale, each with the 95 % band of
// its mean drag, its own line style, and its shape at equal steps of time. An <svg> element.
std::string StandardCurvesSvg(const Comparison& comparison);

}  // namespace loftline
