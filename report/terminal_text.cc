// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/terminal_text.h"

#include "core/wrap_text.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kFewestFirst = 12, kMostFirst = 26;  // columns of a table's first cells

std::vector<std::size_t> ColumnWidths(const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths(rows.front().size());
  for (const std::vector<std::string>& cells : rows) {
    for (std::size_t i = 0; i < widths.size(); ++i) widths[i] = std::max(widths[i], Width(cells.at(i)));
  }
  widths[0] = std::clamp(widths[0], kFewestFirst, kMostFirst);
  return widths;
}

// How many columns have room beside each other.
std::size_t ColumnsShown(const std::vector<std::size_t>& widths) {
  std::size_t shown = 1;
  for (std::size_t used = widths[0]; shown < widths.size(); ++shown) {
    used += 2 + widths[shown];
    if (used > kTerminalColumns) break;
  }
  return shown;
}

std::string Blanks(std::string_view text, std::size_t width) {
  const std::size_t used = Width(text);
  return std::string(used < width ? width - used : 0, ' ');
}

}  // namespace

std::string PaddedRight(std::string_view text, std::size_t width) {
  return std::string(text) + Blanks(text, width);
}

std::string PaddedLeft(std::string_view text, std::size_t width) {
  return Blanks(text, width) + std::string(text);
}

std::string Shortened(std::string_view text, std::size_t width) {
  if (Width(text) <= width) return std::string(text);
  std::string kept;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool starts = (static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U;
    if (starts && Width(kept) + 1 >= width) break;
    kept += text[i];
  }
  return kept + "\u2026";
}

std::string WithoutControls(std::string_view text) {
  std::string shown;
  for (const char byte : text) {
    const auto code = static_cast<unsigned char>(byte);
    shown += code < 0x20 || code == 0x7F ? '?' : byte;
  }
  return shown;
}

std::string FindingLines(const Finding& finding) {
  std::string lines =
      Wrapped(fmt::format("{}: {}", SeverityName(finding.severity), WithoutControls(finding.message)), 2);
  if (!finding.advice.empty()) lines += Wrapped(WithoutControls(finding.advice), 6);
  return lines;
}

std::string TextTable(const std::vector<std::vector<std::string>>& rows) {
  if (rows.empty() || rows.front().empty()) return "";
  const std::vector<std::size_t> widths = ColumnWidths(rows);
  const std::size_t shown = ColumnsShown(widths);
  std::string lines;
  for (const std::vector<std::string>& cells : rows) {
    std::string line = PaddedRight(Shortened(cells[0], widths[0]), widths[0]);
    for (std::size_t i = 1; i < shown; ++i) line += "  " + PaddedLeft(cells[i], widths[i]);
    line.erase(line.find_last_not_of(' ') + 1);
    lines += line + "\n";
  }
  return lines;
}

bool FitsTerminal(const std::vector<std::vector<std::string>>& rows) {
  if (rows.empty() || rows.front().empty()) return true;
  const std::vector<std::size_t> widths = ColumnWidths(rows);
  return ColumnsShown(widths) == widths.size();
}

std::string SafetyLines() {
  return Wrapped(
      "Launch safely: eye protection, a clear range, nobody over the tube or down range, an adult in charge; local "
      "rules and whoever runs the site decide.",
      0);
}

}  // namespace loftline
