// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <functional>
#include <stop_token>

namespace loftline {

// How a caller watches and stops long work. Looked at once per frame and once per solver iteration; stopping yields an
// Error of kind kCancelled and code "cancelled".
struct RunControl {
  std::stop_token stop;                     // default: nobody will ask
  std::function<void(double)> on_progress;  // fraction 0..1, called on the thread that called us
};

}  // namespace loftline
