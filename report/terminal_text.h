// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

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

// Rows of cells, all as long as the first, as lines of at most kTerminalColumns: the first column to the left and cut
// to fit, the others to the right, two blanks between them. Where a line would be too long, columns at the end are left
// out.
std::string TextTable(const std::vector<std::vector<std::string>>& rows);

// Whether TextTable shows all columns of ROWS.
bool FitsTerminal(const std::vector<std::vector<std::string>>& rows);

// The safety rules in two lines.
std::string SafetyLines();

}  // namespace loftline
