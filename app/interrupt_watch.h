// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <atomic>
#include <stop_token>
#include <thread>

namespace loftline {

// Turns Ctrl-C (SIGINT) and SIGTERM into a stop request, so that work ends at its next frame and leaves nothing half
// written. The second one ends the process at once. Must be made before any other thread, which then inherits the
// blocked signals; a thread of its own waits for them, since next to nothing may be done in a signal handler.
class InterruptWatch {
 public:
  InterruptWatch();
  ~InterruptWatch();
  InterruptWatch(const InterruptWatch&) = delete;
  InterruptWatch& operator=(const InterruptWatch&) = delete;

  std::stop_token token() const { return stop_.get_token(); }

 private:
  void Wait();

  std::stop_source stop_;
  std::atomic<bool> over_ = false;
  std::thread waiter_;
};

}  // namespace loftline
