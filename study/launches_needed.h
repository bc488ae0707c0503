// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/comparison.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

struct LaunchesRequest {
  std::string quantity = "standard_range_m";  // key of a compared quantity
  double difference = 0.0;                    // that is to be told, in the quantity's unit; above zero
  bool relative = false;                      // DIFFERENCE is a share of the day's mean instead
  double power = 0.8;                         // how often it is to be told
};

// How many launches of each design it takes, judged by how much launches of one design differed on a day.
struct LaunchesNeeded {
  std::string key, label, unit;  // of the quantity
  double mean = 0.0;             // of all designs' means
  double difference = 0.0;       // in the unit
  double power = 0.0;
  double spread = 0.0;                                    // standard deviation within designs, pooled
  double spread_low_95 = 0.0, spread_high_95 = 0.0;       // by chi-square
  int dof = 0;                                            // of the spread
  double alpha = 0.05;                                    // of one pair, so that all pairs together have 0.05
  std::optional<int> launches_each, low_each, high_each;  // for the spread and the ends of its interval; nothing:
                                                          // beyond all launching (more than kMostLaunches)
  struct Design {
    std::string name;
    std::size_t used = 0;            // values of this quantity
    std::optional<int> more_needed;  // beyond those
  };
  std::vector<Design> designs;
  std::string sentence;
};
inline constexpr int kMostLaunches = 1000;

// The interval of a standard deviation that was found from so many degrees of freedom (any textbook: dof s^2 / sigma^2
// is chi-square), as factors on it.
struct SpreadInterval {
  double low_factor = 1.0, high_factor = 1.0;
};
SpreadInterval SpreadInterval95(double dof);

// Errors: "bad-value" (kInvalidInput) for an unknown quantity, a difference or power that cannot be; "spread-unknown"
// (kRefused) where no design has two usable flights, or all flights came out exactly alike.
Expected<LaunchesNeeded> CountLaunches(const Comparison& comparison, const LaunchesRequest& request);

// What --json prints (docs/formats.md, "Launches"; docs/schemas/launches.schema.json).
nlohmann::ordered_json LaunchesAsJson(const LaunchesNeeded& needed, const std::vector<std::string>& days);

}  // namespace loftline
