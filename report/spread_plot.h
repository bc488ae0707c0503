// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "report/plot_frame.h"
#include "study/comparison.h"

#include <string>

namespace loftline {

// What a quantity's plot must show: every flight with its own uncertainty, as far as that is not out of all proportion.
AxisRange SpreadRange(const ComparedQuantity& quantity);

// One row for each design: every flight as a mark (hollow where its verdict is caution) with its own 95 % uncertainty
// faint, and below them the mean with its 95 % interval, which ends in an arrow where it leaves the sheet. An <svg>
// element without a name of its axis; RANGE is that of the axis, so that plots of one unit can share it.
std::string SpreadSvg(const Comparison& comparison, const ComparedQuantity& quantity, const AxisRange& range);

}  // namespace loftline
