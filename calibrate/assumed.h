// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>

namespace loftline {

// Something that the survey did not say and that was therefore taken by default.
struct Assumed {
  std::string what;   // "lens view angle"
  std::string value;  // "65 ± 6° across the longer side"
};

}  // namespace loftline
