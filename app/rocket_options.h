// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/command_line.h"
#include "app/option_values.h"
#include "core/measured.h"

#include <optional>
#include <string>

namespace loftline {

// Mass and diameter: without them there is no drag coefficient and no launch energy.
class RocketOptions {
 public:
  void AddTo(CommandLine* line);
  void Read(OptionValues* values, std::optional<Measured>* mass_kg, std::optional<Measured>* diameter_m) const;

 private:
  std::optional<std::string> mass_, diameter_;
};

}  // namespace loftline
