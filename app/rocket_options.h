// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/command_line.h"
#include "app/option_values.h"
#include "fit/fit_flight.h"

#include <optional>
#include <string>

namespace loftline {

// What flies, and how its intervals are found. Without mass and diameter there is no drag coefficient and no launch
// energy.
class RocketOptions {
 public:
  void AddTo(CommandLine* line);
  void Read(OptionValues* values, FitOptions* options) const;
  bool explain() const { return explain_; }

 private:
  std::optional<std::string> mass_, diameter_;
  bool ball_ = false, explain_ = false;
  int monte_carlo_draws_ = 0;
};

}  // namespace loftline
