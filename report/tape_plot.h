// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <string>

namespace loftline {

// Measured minus taped range against the taped one: every flight with its 95 % uncertainty, their mean, and the limits
// between which 95 of 100 differences lie. An <svg> element.
std::string TapeSvg(const Comparison& comparison, const TapeAgreement& tape);

}  // namespace loftline
