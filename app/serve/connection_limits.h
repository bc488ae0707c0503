// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <chrono>
#include <cstddef>

namespace loftline {

// What a client may take of our time and memory.
struct ConnectionLimits {
  using Seconds = std::chrono::duration<double>;
  Seconds idle{3.0};                  // between two requests
  Seconds header{10.0};               // from the first byte of a request to the end of its header
  Seconds pause{10.0};                // without a byte, while a body comes or an answer goes
  double least_bytes_per_s = 2000.0;  // of a body or an answer, on average after PAUSE
  std::size_t most_header_bytes = 32U << 10U;
};

}  // namespace loftline
