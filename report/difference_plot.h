// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "report/plot_frame.h"
#include "study/comparison.h"

#include <string>

namespace loftline {

// One range for the differences of all pairs of a quantity, with zero in it.
AxisRange DifferenceRange(const ComparedQuantity& quantity);

// A pair's difference as a bar from end to end of its 95 % interval beside a line at zero: whether it crosses the line
// is what a reader looks for. A small <svg> element to stand beside the pair's sentence.
std::string DifferenceSvg(const PairComparison& pair, const AxisRange& range, const std::string& label);

}  // namespace loftline
