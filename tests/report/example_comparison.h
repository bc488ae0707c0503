// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

namespace loftline {

// What a comparison of ExampleDay() may look like, put together by hand: ranges at the standard launch by small Euler
// steps, sentences written out. Only means and differences come from the program's own statistics.
Comparison ExampleComparison();

}  // namespace loftline
