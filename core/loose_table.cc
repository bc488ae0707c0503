// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/loose_table.h"

#include "core/letter_case.h"
#include "core/loose_lines.h"
#include "core/read_file.h"
#include "core/text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::array kSeparators = {'\t', ';', ',', '|', ' '};  // the earlier wins where two part the rows alike

Error Bad(const std::string& file, int line, const std::string& message, const std::string& advice) {
  return {ErrorKind::kInvalidInput, "bad-csv", message, advice, file, line};
}

// The part of LINE that is numbers, 0 to 1, where it can be a row of them; otherwise 0.
double NumberShare(const std::vector<std::string>& cells) {
  if (cells.size() < 2) return 0.0;
  double numbers = 0.0, texts = 0.0, filled = 0.0;
  for (const std::string& cell : cells) {
    const LooseCell::Kind kind = ReadLooseCell(cell).kind;
    numbers += kind == LooseCell::Kind::kNumber ? 1.0 : 0.0;
    texts += kind == LooseCell::Kind::kText ? 1.0 : 0.0;
    filled += cell.empty() ? 0.0 : 1.0;
  }
  const bool enough = numbers > 0.0 && (texts < numbers || (texts == numbers && cells.size() >= 4));
  return enough ? (filled - texts) / filled : 0.0;
}

struct Layout {
  char separator = ',';
  std::size_t width = 0;
  double score = 0.0;
};

// How well SEPARATOR parts the lines, and into how many cells most of them.
Layout LayoutBy(char separator, const std::vector<TextLine>& lines) {
  constexpr std::size_t kEnough = 200;  // rows to judge by
  Layout layout{.separator = separator};
  std::map<std::size_t, int> widths;
  std::size_t judged = 0;
  for (const TextLine& line : lines) {
    if (judged >= kEnough) break;
    if (CommentSign(line.text, separator) > 0) continue;
    const std::vector<std::string> cells = SplitCells(line.text, separator);
    const double share = NumberShare(cells);
    if (share == 0.0) continue;
    ++judged;
    layout.score += share;
    ++widths[cells.size()];
  }
  int most = 0;
  for (const auto& [width, count] : widths) {
    if (count <= most) continue;
    most = count;
    layout.width = width;
  }
  return layout;
}

Layout BestLayout(const std::vector<TextLine>& lines) {
  Layout best;
  for (const char separator : kSeparators) {
    const Layout layout = LayoutBy(separator, lines);
    if (layout.score > best.score) best = layout;
  }
  return best;
}

// Separators at the ends of lines leave nameless empty cells there.
void DropEmptyAtEnd(std::vector<std::string>& cells, std::size_t width) {
  while (cells.size() > width && cells.back().empty()) cells.pop_back();
}

// Signs that part cells at the edge of one show that the line was parted at the wrong places.
bool IsCutClean(const std::vector<std::string>& cells) {
  return std::ranges::none_of(cells, [](const std::string& cell) {
    return cell.starts_with(',') || cell.starts_with(';') || cell.ends_with(',') || cell.ends_with(';');
  });
}

// LINE in WIDTH cells: a header may be parted otherwise than the numbers below it.
std::vector<std::string> InCells(std::string_view line, char separator, std::size_t width) {
  std::vector<std::vector<std::string>> ways = {SplitCells(line, separator)};
  for (const char other : kSeparators) ways.push_back(SplitCells(line, other));
  ways.push_back(SplitAtGaps(line));
  ways.push_back(WithBracketsJoined(SplitCells(line, ' ')));
  for (std::vector<std::string>& cells : ways) {
    DropEmptyAtEnd(cells, width);
    if (cells.size() == width && IsCutClean(cells)) return cells;
  }
  return ways.front();
}

void FindNames(const std::vector<TextLine>& lines, std::size_t first_row, LooseTable& table) {
  for (std::size_t i = first_row; i-- > 0;) {
    const std::size_t sign = CommentSign(lines[i].text, table.separator);
    const std::string_view line = Trimmed(std::string_view(lines[i].text).substr(sign));
    CsvRow row{.line = lines[i].line, .cells = InCells(line, table.separator, table.width)};
    if (row.cells.size() == table.width) {
      table.above.push_back(std::move(row));
    } else if (sign == 0 && !table.misfit) {
      table.misfit = std::move(row);
    }
  }
}

Error WrongWidth(const LooseTable& table, const CsvRow& row) {
  const auto is_text = [](const std::string& cell) { return ReadLooseCell(cell).kind == LooseCell::Kind::kText; };
  const bool commas =
      table.separator == ',' && row.cells.size() > table.width && std::ranges::none_of(row.cells, is_text);
  const std::string message = fmt::format("The row has {} cell{}, but the first one has {}.",
                                          row.cells.size(),
                                          row.cells.size() == 1 ? "" : "s",
                                          table.width);
  return Bad(table.file,
             row.line,
             message,
             commas ? "Part the cells by ';' where the numbers have decimal commas."
                    : "Mend the row, take it out, or begin it with # if it is a remark.");
}

std::optional<Error> TakeRows(const std::vector<TextLine>& lines, std::size_t first_row, LooseTable& table) {
  for (std::size_t i = first_row; i < lines.size(); ++i) {
    if (CommentSign(lines[i].text, table.separator) > 0) continue;
    CsvRow row{.line = lines[i].line, .cells = SplitCells(lines[i].text, table.separator)};
    DropEmptyAtEnd(row.cells, table.width);
    const auto filled = [](const std::string& cell) { return !cell.empty(); };
    if (std::ranges::none_of(row.cells, filled)) continue;
    if (row.cells.size() != table.width) return WrongWidth(table, row);
    table.rows.push_back(std::move(row));
  }
  return std::nullopt;
}

// Empty columns at the right, which spreadsheets leave, are none; a name above them would be a column of its own.
std::size_t WidthWithContent(const std::vector<TextLine>& lines, const Layout& layout) {
  std::size_t width = 0;
  for (const TextLine& line : lines) {
    if (CommentSign(line.text, layout.separator) > 0) continue;
    const std::vector<std::string> cells = SplitCells(line.text, layout.separator);
    if (cells.size() < 2) continue;
    for (std::size_t i = 0; i < std::min(cells.size(), layout.width); ++i) {
      if (!cells[i].empty()) width = std::max(width, i + 1);
    }
  }
  return std::max<std::size_t>(width, 2);
}

}  // namespace

Expected<LooseTable> ParseLooseTable(const std::string& text, const std::string& file_name) {
  Expected<std::string> readable = ReadableText(text, file_name);
  if (!readable) return readable.error();
  const std::vector<TextLine> lines = LinesOf(*readable);
  Layout layout = BestLayout(lines);
  if (layout.width == 0) {
    return Error{ErrorKind::kInvalidInput,
                 "empty-table",
                 "There is no row of numbers in it.",
                 "A table has a row for each moment, with the time, the distance and the height in cells of their own.",
                 file_name};
  }
  layout.width = WidthWithContent(lines, layout);
  LooseTable table{.file = file_name, .width = layout.width, .separator = layout.separator};
  std::size_t first_row = 0;
  for (; first_row < lines.size(); ++first_row) {
    if (CommentSign(lines[first_row].text, table.separator) > 0) continue;
    std::vector<std::string> cells = SplitCells(lines[first_row].text, table.separator);
    DropEmptyAtEnd(cells, table.width);
    if (cells.size() == table.width && NumberShare(cells) > 0.0) break;
  }
  FindNames(lines, first_row, table);
  if (std::optional<Error> error = TakeRows(lines, first_row, table)) return *error;
  return table;
}

Expected<std::string> ReadLooseFile(const std::filesystem::path& path) {
  constexpr std::size_t kLargestBytes = std::size_t{64} << 20;  // a flight at 10^5 moments takes 10 MB
  return ReadWholeFile(path, kLargestBytes);
}

LooseCell ReadLooseCell(std::string_view cell) {
  constexpr std::array<std::string_view, 10> kMissing = {
      "", "nan", "+nan", "-nan", "na", "n/a", "#n/a", "null", "-", "--"};
  constexpr std::string_view kMinus = "\u2212";
  std::string plain(Trimmed(cell));
  for (std::size_t at = plain.find(kMinus); at != std::string::npos; at = plain.find(kMinus)) {
    plain.replace(at, kMinus.size(), "-");
  }
  plain = LowerCase(plain);
  LooseCell read;
  if (std::ranges::count(kMissing, plain) > 0) {
    read.kind = LooseCell::Kind::kMissing;
    return read;
  }
  if (plain.find_first_not_of("0123456789.,+-ed") != std::string::npos) return read;
  if (plain.starts_with('+')) plain.erase(0, 1);
  const std::size_t mark = plain.find_first_of(".,");
  if (plain.ends_with(',')) return read;  // parts cells
  if (mark != std::string::npos) {
    read.mark = plain[mark];
    plain[mark] = '.';
  }
  const std::size_t exponent = plain.find_first_of("ed");
  if (exponent != std::string::npos) {
    plain[exponent] = 'e';
    if (plain.substr(exponent + 1).starts_with('+')) plain.erase(exponent + 1, 1);
  }
  const auto [end, failed] = std::from_chars(plain.data(), plain.data() + plain.size(), read.value);
  if (failed != std::errc() || end != plain.data() + plain.size() || !std::isfinite(read.value)) return read;
  read.kind = LooseCell::Kind::kNumber;
  const std::size_t digits_end = std::min(exponent, plain.size());
  const int decimals = mark == std::string::npos ? 0 : static_cast<int>(digits_end - mark) - 1;
  int power = 0;
  if (exponent != std::string::npos) std::from_chars(plain.data() + exponent + 1, plain.data() + plain.size(), power);
  read.last_digit = std::pow(10.0, power - decimals);
  return read;
}

}  // namespace loftline
