// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// Where TEXT stops being UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF); nothing when it is
// sound.
std::optional<std::size_t> FirstBadUtf8(std::string_view text);

// TEXT for use in a message: in double quotes, on one line, no longer than some 60 bytes, what is not UTF-8 or not
// printable replaced by '?'.
std::string Quoted(std::string_view text);

// The word among CANDIDATES that WORD is most likely a slip of the keyboard for: letter case, one edit in words of four
// to seven letters, two in longer ones, neighbours swapped counting as one. Nothing when none is near enough.
std::optional<std::string> NearestWord(std::string_view word, const std::vector<std::string>& candidates);

// Without the spaces, tabs and line ends around it.
std::string_view Trimmed(std::string_view text);

}  // namespace loftline
