// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace loftline {

inline constexpr std::size_t kTerminalColumns = 80;

// In characters of UTF-8, not bytes.
std::size_t Width(std::string_view text);

// One paragraph broken at blanks into lines of at most kTerminalColumns, each after INDENT blanks and ended; words that
// are too long are cut.
std::string Wrapped(std::string_view text, std::size_t indent);

}  // namespace loftline
