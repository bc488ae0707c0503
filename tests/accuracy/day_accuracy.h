// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstdint>

namespace loftline::accuracy {

struct DayRequest {
  std::uint64_t first_seed = 9001;
  int days_each = 500;
};

// Compares made-up launch days of every kind: prints how often intervals of differences hold the truth and how often
// equal designs are called different. Returns 0, or 1 when a wanted figure is missed.
int RunDayAccuracy(const DayRequest& request);

}  // namespace loftline::accuracy
