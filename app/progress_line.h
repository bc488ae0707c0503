// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "core/run_control.h"

#include <chrono>
#include <cstdint>
#include <functional>
#include <string>

namespace loftline {

// One line on a terminal that says how far a command is: "tracking  42 %  310 frames/s  3 s left". Shows nothing where
// nobody looks. The line is taken away again when the object goes.
class ProgressLine {
 public:
  using Clock = std::chrono::steady_clock;

  // FRAMES is the whole work, as far as it is known; 0 leaves the rate out. NOW is there for tests.
  ProgressLine(std::string work, std::int64_t frames, Streams io, std::function<Clock::time_point()> now = Clock::now);
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  void Show(double fraction);
  // CONTROL with this line as its listener; the line must outlive what is returned.
  RunControl Watching(const RunControl& control);

 private:
  std::string work_;
  std::int64_t frames_;
  Streams io_;
  std::function<Clock::time_point()> now_;
  Clock::time_point start_, last_shown_;
  bool shown_ = false;
};

}  // namespace loftline
