// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/day_paths.h"
#include "app/serve/job_board.h"
#include "study/day_table.h"
#include "study/measure_day.h"

#include <chrono>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// How far each clip of a running day is, as RunDay's job tells it (app/serve/day_run.h). Thread-safe.
class DayProgress {
 public:
  using Clock = std::chrono::steady_clock;

  DayProgress(const DayTable& table,
              const DayPaths& paths,
              JobReport* report,
              std::function<Clock::time_point()> now = Clock::now);

  void Measuring(const DayRow& row, double fraction);
  void Done(const FlightDone& done);

 private:
  struct Clip {
    nlohmann::ordered_json json;
    double fraction = 0.0;
    bool measuring = false, done = false;
  };
  void Tell(bool at_once);
  std::optional<double> LeftS() const;  // by what was measured in this run: what lay there already took no time

  JobReport* report_;
  std::function<Clock::time_point()> now_;
  Clock::time_point start_, last_told_;
  std::mutex mutex_;
  std::vector<Clip> clips_;
  std::map<int, std::size_t> by_line_;
  int done_ = 0, measured_ = 0;
};

}  // namespace loftline
