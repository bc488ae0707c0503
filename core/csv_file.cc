// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/csv_file.h"

#include "core/csv_parser.h"
#include "core/read_file.h"
#include "core/text.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

Error FileError(const std::string& file,
                const std::string& code,
                const std::string& message,
                const std::string& advice) {
  return Error{.kind = ErrorKind::kInvalidInput, .code = code, .message = message, .advice = advice, .file = file};
}

std::string_view WithoutByteOrderMark(std::string_view text) {
  return text.starts_with("\xEF\xBB\xBF") ? text.substr(3) : text;
}

// Without this, a table saved in UTF-16 or an old code page would give cells that no later file or page can hold.
std::optional<Error> CheckText(std::string_view text, const std::string& file_name) {
  const std::size_t zero = text.find('\0');
  const std::size_t bad = std::min(FirstBadUtf8(text).value_or(std::string_view::npos), zero);
  if (bad == std::string_view::npos) return std::nullopt;
  Error error = FileError(file_name, "bad-csv", "The text is not in UTF-8.", "Save it again as \"CSV UTF-8\".");
  error.line = static_cast<int>(std::ranges::count(text.substr(0, bad), '\n')) + 1;
  return error;
}

char SeparatorOf(std::string_view text) {
  std::string_view header;
  while (!text.empty() && (header.empty() || header.starts_with('#'))) {
    header = Trimmed(text.substr(0, text.find('\n')));
    text.remove_prefix(std::min(text.find('\n'), text.size() - 1) + 1);
  }
  if (header.find(',') != std::string_view::npos) return ',';
  if (header.find(';') != std::string_view::npos) return ';';
  return header.find('\t') != std::string_view::npos ? '\t' : ',';
}

void DropNamelessColumnsAtRight(std::vector<CsvRow>& records) {
  while (!records.front().cells.empty() && records.front().cells.back().empty()) {
    const std::size_t width = records.front().cells.size();
    const auto has_content = [&](const CsvRow& row) { return row.cells.size() == width && !row.cells.back().empty(); };
    if (std::ranges::any_of(records, has_content)) return;
    for (CsvRow& row : records) {
      if (row.cells.size() == width) row.cells.pop_back();
    }
  }
}

std::optional<Error> CheckShape(const CsvTable& table, int header_line) {
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const std::string& name = table.columns[i];
    const auto earlier = table.columns.begin() + static_cast<std::ptrdiff_t>(i);
    const bool twice = std::find(table.columns.begin(), earlier, name) != earlier;
    if (!name.empty() && !twice) continue;
    Error error = FileError(table.file,
                            "bad-csv",
                            name.empty() ? fmt::format("Column {} has no name.", i + 1)
                                         : fmt::format("The column {} stands twice.", Quoted(name)),
                            "Give every column a name of its own.");
    error.line = header_line;
    return error;
  }
  for (const CsvRow& row : table.rows) {
    if (row.cells.size() == table.columns.size()) continue;
    Error error = FileError(
        table.file,
        "bad-csv",
        fmt::format("The row has {} cells, but the table has {} columns.", row.cells.size(), table.columns.size()),
        "Check its commas and quotes.");
    error.line = row.line;
    return error;
  }
  return std::nullopt;
}

std::vector<std::string> UnknownColumns(const CsvTable& table, const CsvRules& rules) {
  std::vector<std::string> unknown;
  for (const std::string& name : table.columns) {
    const bool known = std::ranges::count(rules.required, name) + std::ranges::count(rules.optional, name) > 0;
    if (!known) unknown.push_back(name);
  }
  return unknown;
}

std::optional<Error> CheckRules(const CsvTable& table, const CsvRules& rules, int header_line) {
  const std::vector<std::string> unknown = UnknownColumns(table, rules);
  for (const std::string& name : rules.required) {
    if (table.Column(name)) continue;
    const std::optional<std::string> near = NearestWord(name, unknown);
    Error error = FileError(table.file,
                            "missing-column",
                            fmt::format("The column {} is missing.", Quoted(name)),
                            near ? fmt::format("There is {}: is it meant for it?", Quoted(*near)) : "Add it.");
    error.line = header_line;
    error.key = name;
    return error;
  }
  if (rules.others_allowed || unknown.empty()) return std::nullopt;
  std::vector<std::string> wanted = rules.optional;
  std::erase_if(wanted, [&](const std::string& name) { return table.Column(name).has_value(); });
  const std::optional<std::string> near = NearestWord(unknown.front(), wanted);
  Error error = FileError(table.file,
                          "unknown-column",
                          fmt::format("The column {} is not known here.", Quoted(unknown.front())),
                          near ? fmt::format("Did you mean \"{}\"?", *near) : "Take it out or correct its name.");
  error.line = header_line;
  error.key = unknown.front();
  return error;
}

// Spreadsheets set a real minus sign in some languages.
std::string PlainNumber(std::string_view cell, bool decimal_comma) {
  constexpr std::string_view kMinus = "\u2212";
  std::string plain(Trimmed(cell));
  if (plain.starts_with(kMinus)) plain.replace(0, kMinus.size(), "-");
  if (plain.starts_with('+') && !plain.starts_with("+-")) plain.erase(0, 1);
  if (decimal_comma && plain.find('.') == std::string::npos && std::ranges::count(plain, ',') == 1) {
    plain[plain.find(',')] = '.';
  }
  return plain;
}

}  // namespace

std::optional<std::size_t> CsvTable::Column(std::string_view name) const {
  const auto found = std::ranges::find(columns, name);
  if (found == columns.end()) return std::nullopt;
  return static_cast<std::size_t>(found - columns.begin());
}

const std::string& CsvTable::Cell(const CsvRow& row, std::string_view column) const {
  static const std::string kNothing;
  const std::optional<std::size_t> index = Column(column);
  return index && *index < row.cells.size() ? row.cells[*index] : kNothing;
}

Expected<double> CsvTable::Number(const CsvRow& row, std::string_view column) const {
  const std::string& cell = Cell(row, column);
  const std::string plain = PlainNumber(cell, decimal_comma);
  double value = 0.0;
  const auto [end, failed] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (failed == std::errc() && end == plain.data() + plain.size() && std::isfinite(value)) return value;
  if (plain.empty()) return ErrorAt(row, column, "A number is missing.", "Fill the cell.");
  return ErrorAt(row, column, fmt::format("{} is not a number.", Quoted(cell)), "Write it like 8.2, without a unit.");
}

Expected<std::optional<double>> CsvTable::NumberOrNothing(const CsvRow& row, std::string_view column) const {
  if (Trimmed(Cell(row, column)).empty()) return std::optional<double>();
  Expected<double> number = Number(row, column);
  if (!number) return number.error();
  return std::optional<double>(*number);
}

Error CsvTable::ErrorAt(const CsvRow& row,
                        std::string_view column,
                        const std::string& message,
                        const std::string& advice) const {
  return Error{.kind = ErrorKind::kInvalidInput,
               .code = "bad-value",
               .message = message,
               .advice = advice,
               .file = file,
               .line = row.line,
               .key = std::string(column)};
}

Expected<CsvTable> ParseCsv(const std::string& text, const std::string& file_name, const CsvRules& rules) {
  const std::string_view content = WithoutByteOrderMark(text);
  if (const std::optional<Error> error = CheckText(content, file_name)) return *error;
  const char separator = SeparatorOf(content);
  Expected<std::vector<CsvRow>> records = ParseCsvRecords(content, file_name, separator);
  if (!records) return records.error();
  if (records->empty()) {
    return FileError(file_name, "empty-table", "The table is empty.", "It needs a first row with the columns' names.");
  }
  DropNamelessColumnsAtRight(*records);
  CsvTable table;
  table.file = file_name;
  table.decimal_comma = separator != ',';
  const int header_line = records->front().line;
  table.columns = records->front().cells;
  table.rows.assign(std::make_move_iterator(records->begin() + 1), std::make_move_iterator(records->end()));
  if (const std::optional<Error> error = CheckShape(table, header_line)) return *error;
  if (const std::optional<Error> error = CheckRules(table, rules, header_line)) return *error;
  if (table.rows.empty()) {
    return FileError(
        file_name, "empty-table", "The table has no rows below its columns' names.", "Add one row for each entry.");
  }
  return table;
}

Expected<CsvTable> ReadCsv(const std::filesystem::path& path, const CsvRules& rules) {
  constexpr std::size_t kLargestBytes = std::size_t{256} << 20;  // 10^5 rows of a day's table are some 20 MB
  Expected<std::string> text = ReadWholeFile(path, kLargestBytes);
  if (!text) return text.error();
  return ParseCsv(*text, path.string(), rules);
}

std::string CsvLine(const std::vector<std::string>& cells) {
  std::string line;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) line += ',';
    const std::string& cell = cells[i];
    // A first cell that begins with '#' would read as a comment, and spaces around a cell would be dropped.
    const bool plain = cell.find_first_of(",;\"\r\n\t#") == std::string::npos && Trimmed(cell) == cell;
    if (plain) {
      line += cell;
      continue;
    }
    line += '"';
    for (const char letter : cell) line += letter == '"' ? std::string("\"\"") : std::string(1, letter);
    line += '"';
  }
  return line;
}

}  // namespace loftline
