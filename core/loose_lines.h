// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// Pieces of core/loose_table.h: text into lines, lines into cells.

// TEXT in UTF-8, without a byte-order mark and with no blanks but plain ones; what is not UTF-8 is taken for Latin-1.
// Errors: "bad-csv" with the line for UTF-16 and for other bytes that are no text.
Expected<std::string> ReadableText(std::string_view text, const std::string& file_name);

struct TextLine {
  int line = 0;  // counted from 1
  std::string text;
};

// The lines that are not blank. A line break between quotes counts as a blank.
std::vector<TextLine> LinesOf(const std::string& text);

// How many bytes, blanks before it included, the sign takes that makes LINE a remark; 0: it is none.
std::size_t CommentSign(std::string_view line, char separator);

// Cells of LINE, without the blanks and quotes around them. SEPARATOR ' ' means any number of blanks and tabs.
std::vector<std::string> SplitCells(std::string_view line, char separator);
// The same at gaps of two blanks or more, as in tables that are set in columns.
std::vector<std::string> SplitAtGaps(std::string_view line);
// "Height", "(ft)" made one cell.
std::vector<std::string> WithBracketsJoined(const std::vector<std::string>& cells);

}  // namespace loftline
