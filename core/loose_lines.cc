// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/loose_lines.h"

#include "core/text.h"

#include <algorithm>
#include <array>

namespace loftline {
namespace {

Error NoText(const std::string& file, int line, const std::string& message) {
  return {ErrorKind::kInvalidInput, "bad-csv", message, "Save it again as \"CSV UTF-8\".", file, line};
}

// Without a byte-order mark: every other byte of mostly Latin letters is zero, and those between them are not.
bool LooksLikeUtf16(std::string_view text) {
  const std::string_view begin = text.substr(0, 200);
  std::array<std::size_t, 2> zeros{};
  for (std::size_t i = 0; i < begin.size(); ++i) zeros[i % 2] += begin[i] == '\0' ? 1 : 0;
  const std::size_t pairs = begin.size() / 2;
  return std::min(zeros[0], zeros[1]) == 0 && 4 * std::max(zeros[0], zeros[1]) >= 3 * pairs;
}

std::string FromLatin1(std::string_view text) {
  std::string utf8;
  for (const char letter : text) {
    const auto byte = static_cast<unsigned char>(letter);
    if (byte < 0x80) {
      utf8 += letter;
    } else {
      utf8 += static_cast<char>(0xC0 | (byte >> 6));
      utf8 += static_cast<char>(0x80 | (byte & 0x3F));
    }
  }
  return utf8;
}

// Blanks that hold a number and its unit together on a page, or part thousands, are blanks.
std::string WithPlainBlanks(std::string text) {
  constexpr std::array<std::string_view, 4> kBlanks = {"\u00a0", "\u2007", "\u2009", "\u202f"};
  for (const std::string_view blank : kBlanks) {
    for (std::size_t at = text.find(blank); at != std::string::npos; at = text.find(blank, at + 1)) {
      text.replace(at, blank.size(), " ");
    }
  }
  return text;
}

bool HasOpenQuote(std::string_view line) {
  return std::ranges::count(line, '"') % 2 == 1;
}

bool IsBlank(char letter) {
  return letter == ' ' || letter == '\t';
}

// The cell that begins in quotes, whose first is at BEGIN; END is set past the last one. A quote is written twice.
std::string TakeQuoted(std::string_view line, std::size_t begin, std::size_t* end) {
  std::string cell;
  std::size_t at = begin + 1;
  for (; at < line.size(); ++at) {
    if (line[at] != '"') {
      cell += line[at];
    } else if (at + 1 < line.size() && line[at + 1] == '"') {
      cell += line[at++];
    } else {
      break;
    }
  }
  *end = std::min(at + 1, line.size());
  return std::string(Trimmed(cell));
}

}  // namespace

Expected<std::string> ReadableText(std::string_view text, const std::string& file_name) {
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) {
    return NoText(file_name, 1, "The text is in UTF-16, not in UTF-8.");
  }
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  const std::size_t zero = text.find('\0');
  if (zero != std::string_view::npos) {
    const int line = static_cast<int>(std::ranges::count(text.substr(0, zero), '\n')) + 1;
    return NoText(file_name,
                  line,
                  LooksLikeUtf16(text) ? "The text seems to be in UTF-16, not in UTF-8."
                                       : "A zero byte stands in it: it is not text.");
  }
  return WithPlainBlanks(FirstBadUtf8(text) ? FromLatin1(text) : std::string(text));
}

std::vector<TextLine> LinesOf(const std::string& text) {
  constexpr int kMostJoined =
      4;  // lines of one quoted cell; a lone quote, an inch sign say, must not take all that follows
  std::vector<TextLine> physical;
  int number = 0;
  for (std::string_view left = text; !left.empty();) {
    const std::size_t end = std::min(left.find_first_of("\r\n"), left.size());
    physical.push_back({++number, std::string(left.substr(0, end))});
    left.remove_prefix(end);
    if (!left.empty()) left.remove_prefix(left.starts_with("\r\n") ? 2 : 1);
  }
  std::vector<TextLine> lines;
  for (std::size_t i = 0; i < physical.size(); ++i) {
    TextLine line = physical[i];
    std::string joined = line.text;
    for (std::size_t next = i + 1; HasOpenQuote(line.text) && next < physical.size() && next < i + kMostJoined;
         ++next) {
      joined += " " + physical[next].text;
      if (HasOpenQuote(joined)) continue;
      line.text = joined;
      i = next;
      break;
    }
    if (!Trimmed(line.text).empty()) lines.push_back(std::move(line));
  }
  return lines;
}

std::size_t CommentSign(std::string_view line, char separator) {
  const std::size_t begin = line.find_first_not_of(" \t");
  if (begin == std::string_view::npos) return 0;
  std::string_view rest = line.substr(begin);
  const auto is_sign = [&](std::string_view left) {
    return left.starts_with('#') || left.starts_with('%') || left.starts_with('!') || left.starts_with('*') ||
           (left.starts_with(';') && separator != ';');
  };
  std::size_t signs = rest.starts_with("//") ? 2 : 0;
  while (signs == 0 ? is_sign(rest) : is_sign(rest.substr(signs))) ++signs;
  return signs == 0 ? 0 : begin + signs;
}

std::vector<std::string> SplitCells(std::string_view line, char separator) {
  const bool blanks = separator == ' ';
  std::vector<std::string> cells;
  if (blanks) line = Trimmed(line);
  std::size_t at = 0;
  while (true) {
    while (at < line.size() && IsBlank(line[at]) && line[at] != separator) ++at;
    std::string cell;
    if (at < line.size() && line[at] == '"') {
      cell = TakeQuoted(line, at, &at);
    }
    const std::size_t begin = at;
    while (at < line.size() && (blanks ? !IsBlank(line[at]) : line[at] != separator)) ++at;
    cell += std::string(Trimmed(line.substr(begin, at - begin)));
    cells.push_back(std::move(cell));
    if (at >= line.size()) return cells;
    ++at;
    while (blanks && at < line.size() && IsBlank(line[at])) ++at;
  }
}

std::vector<std::string> SplitAtGaps(std::string_view line) {
  std::vector<std::string> cells;
  line = Trimmed(line);
  while (!line.empty()) {
    const std::size_t end = std::min({line.find("  "), line.find('\t'), line.size()});
    cells.emplace_back(Trimmed(line.substr(0, end)));
    line = Trimmed(line.substr(end));
  }
  return cells;
}

std::vector<std::string> WithBracketsJoined(const std::vector<std::string>& cells) {
  std::vector<std::string> joined;
  int open = 0;
  for (const std::string& cell : cells) {
    const bool bracket = cell.starts_with('(') || cell.starts_with('[');
    if (!joined.empty() && (open > 0 || bracket)) {
      joined.back() += " " + cell;
    } else {
      joined.push_back(cell);
    }
    for (const char letter : cell) {
      if (letter == '(' || letter == '[') ++open;
      if (letter == ')' || letter == ']') open = std::max(0, open - 1);
    }
  }
  return joined;
}

}  // namespace loftline
