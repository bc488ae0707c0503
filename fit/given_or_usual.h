// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/assumed.h"
#include "core/measured.h"

#include <optional>
#include <vector>

#include <fmt/format.h>

namespace loftline {

// What the survey says of something, or else what is usual, which is then listed as assumed. UNIT with the blank before
// it, if it takes one.
inline Measured GivenOrUsual(const std::optional<double>& given,
                             double given_std,
                             const Measured& usual,
                             const char* what,
                             const char* unit,
                             std::vector<Assumed>* assumed) {
  if (given) return {*given, given_std};
  assumed->push_back({what, fmt::format("{:.4g} ± {:.2g}{}", usual.value, usual.std, unit)});
  return usual;
}

}  // namespace loftline
