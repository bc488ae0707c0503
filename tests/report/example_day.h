// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/summary_file.h"

namespace loftline {

// An invented day of the Slackwater Makers on the tidal flat at Ebbing Hollow: twelve launches of three designs in
// shuffled order, one refused, one unreadable, one with a caution. Written out by hand, none of it computed by the
// program.
DaySummary ExampleDay();

// COUNT launches of it, over and over, under new numbers.
DaySummary LargeDay(int count);

}  // namespace loftline
