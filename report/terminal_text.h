// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"

#include <cstddef>
#include <string>
#include <string_view>

namespace loftline {

// Pieces of what is printed on terminals. UTF-8; widths in characters.

// Followed, or preceded, by as many blanks as it takes; longer text stays whole.
std::string PaddedRight(std::string_view text, std::size_t width);
std::string PaddedLeft(std::string_view text, std::size_t width);

// At most WIDTH characters, the last of them an ellipsis where some were cut.
std::string Shortened(std::string_view text, std::size_t width);

// Control characters of names shown as '?', so that a name cannot steer the terminal.
std::string WithoutControls(std::string_view text);

// "caution: ..." and the advice below it, wrapped.
std::string FindingLines(const Finding& finding);

// The safety rules in two lines.
std::string SafetyLines();

}  // namespace loftline
