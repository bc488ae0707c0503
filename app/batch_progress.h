// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "study/measure_day.h"

#include <chrono>
#include <functional>
#include <string>

namespace loftline {

// Says how far a day's run is. On a terminal one line that renews itself: "12 of 40 clips  3 min left  launch-12: ...";
// otherwise one line for each clip. The line is taken away again when the object goes.
class BatchProgress {
 public:
  using Clock = std::chrono::steady_clock;

  // NOW is there for tests.
  explicit BatchProgress(Streams io, std::function<Clock::time_point()> now = Clock::now);
  ~BatchProgress();
  BatchProgress(const BatchProgress&) = delete;
  BatchProgress& operator=(const BatchProgress&) = delete;

  void Show(const FlightDone& done);

 private:
  std::string TimeLeft(const FlightDone& done) const;

  Streams io_;
  std::function<Clock::time_point()> now_;
  Clock::time_point start_;
  bool shown_ = false;
};

// "launch-07: 21.31 ± 0.24 m/s, 15.2 ± 0.3 m high", or why there is no number. Control characters become '?'.
std::string FlightInShort(const FlightRecord& record);

}  // namespace loftline
