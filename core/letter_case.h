// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

namespace loftline {

// TEXT with A to Z made small, whatever the locale; all else, letters beyond ASCII too, stays.
inline std::string LowerCase(std::string_view text) {
  std::string lower(text);
  std::ranges::transform(lower, lower.begin(), [](char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
  });
  return lower;
}

}  // namespace loftline
