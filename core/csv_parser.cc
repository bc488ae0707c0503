// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/csv_parser.h"

#include "core/text.h"

#include <algorithm>

namespace loftline {
namespace {

class CsvParser {
 public:
  CsvParser(std::string_view text, const std::string& file_name, char separator)
      : left_(text), file_name_(file_name), separator_(separator) {}

  Expected<std::vector<CsvRow>> Parse() {
    std::vector<CsvRow> rows;
    while (!left_.empty()) {
      if (left_[0] == '#') {
        SkipLine();
        continue;
      }
      Expected<CsvRow> row = TakeRow();
      if (!row) return row.error();
      const bool has_content = std::ranges::any_of(row->cells, [](const std::string& cell) { return !cell.empty(); });
      if (has_content) rows.push_back(std::move(*row));
    }
    return rows;
  }

 private:
  Error Bad(const std::string& message, const std::string& advice, int line) const {
    return Error{.kind = ErrorKind::kInvalidInput,
                 .code = "bad-csv",
                 .message = message,
                 .advice = advice,
                 .file = file_name_,
                 .line = line};
  }

  // LF, CRLF, or the lone CR of very old spreadsheets.
  bool TakeLineEnd() {
    if (left_.empty() || (left_[0] != '\n' && left_[0] != '\r')) return false;
    left_.remove_prefix(left_.starts_with("\r\n") ? 2 : 1);
    ++line_;
    return true;
  }

  void SkipLine() {
    left_.remove_prefix(std::min(left_.find_first_of("\r\n"), left_.size()));
    TakeLineEnd();
  }

  void SkipBlanks() {
    while (!left_.empty() && (left_[0] == ' ' || left_[0] == '\t') && left_[0] != separator_) left_.remove_prefix(1);
  }

  Expected<CsvRow> TakeRow() {
    CsvRow row{.line = line_, .cells = {}};
    while (true) {
      SkipBlanks();
      Expected<std::string> cell = left_.starts_with('"') ? TakeQuoted() : TakePlain();
      if (!cell) return cell.error();
      row.cells.push_back(std::move(*cell));
      if (left_.empty() || TakeLineEnd()) return row;
      left_.remove_prefix(1);  // the separator
    }
  }

  Expected<std::string> TakePlain() {
    const char ends[] = {separator_, '\r', '\n', '\0'};
    const std::string_view cell = left_.substr(0, left_.find_first_of(ends));
    if (cell.find('"') != std::string_view::npos) {
      return Bad("A quote stands inside the cell " + Quoted(Trimmed(cell)) + ", which does not begin with one.",
                 "Put the whole cell in quotes and write quotes inside it twice.",
                 line_);
    }
    left_.remove_prefix(cell.size());
    return std::string(Trimmed(cell));
  }

  Expected<std::string> TakeQuoted() {
    const int opened_at = line_;
    std::string cell;
    left_.remove_prefix(1);
    while (!left_.empty()) {
      if (left_.starts_with("\"\"")) {
        cell += '"';
        left_.remove_prefix(2);
      } else if (left_[0] == '"') {
        left_.remove_prefix(1);
        return AfterQuote(std::move(cell));
      } else {
        TakeQuotedLetter(cell);
      }
    }
    return Bad("The quote that opens here is never closed.", "Close it, or write it twice to mean a quote.", opened_at);
  }

  void TakeQuotedLetter(std::string& cell) {
    const std::string_view before = left_;
    if (!TakeLineEnd()) left_.remove_prefix(1);
    cell += before.substr(0, before.size() - left_.size());
  }

  Expected<std::string> AfterQuote(std::string cell) {
    SkipBlanks();
    if (left_.empty() || left_[0] == separator_ || left_[0] == '\r' || left_[0] == '\n') return cell;
    return Bad("Something stands between a closing quote and the end of its cell.",
               "Write quotes inside a quoted cell twice.",
               line_);
  }

  std::string_view left_;
  const std::string& file_name_;
  char separator_;
  int line_ = 1;
};

}  // namespace

Expected<std::vector<CsvRow>> ParseCsvRecords(std::string_view text, const std::string& file_name, char separator) {
  return CsvParser(text, file_name, separator).Parse();
}

}  // namespace loftline
