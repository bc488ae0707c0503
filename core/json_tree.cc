// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/json_tree.h"

#include "core/text.h"

#include <cmath>
#include <cstdint>
#include <iterator>
#include <optional>

#include <nlohmann/json.hpp>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;
using Kind = JsonNode::Kind;

// Goes over the text and counts the lines before the last byte that was handed out. The parser reads one byte ahead of
// a number; since that byte does not count until another is taken, the line is right for the number too.
class CountingIterator {
 public:
  using iterator_category = std::input_iterator_tag;
  using value_type = char;
  using difference_type = std::ptrdiff_t;
  using pointer = const char*;
  using reference = const char&;

  CountingIterator(const char* at, int* line) : at_(at), line_(line) {}
  const char& operator*() const { return *at_; }
  CountingIterator& operator++() {
    if (after_newline_) ++*line_;
    after_newline_ = *at_ == '\n';
    ++at_;
    return *this;
  }
  CountingIterator operator++(int) {
    CountingIterator before = *this;
    ++*this;
    return before;
  }
  bool operator==(const CountingIterator& other) const { return at_ == other.at_; }
  bool operator!=(const CountingIterator& other) const { return at_ != other.at_; }

 private:
  const char* at_;
  int* line_;
  bool after_newline_ = false;
};

// What the parser calls while it reads; builds the tree. False from any call ends the reading.
class TreeBuilder {
 public:
  TreeBuilder(const std::string& text, const std::string& file_name, const int& line)
      : text_(text), file_name_(file_name), line_(line) {}

  JsonNode& root() { return root_; }
  const std::optional<Error>& error() const { return error_; }

  bool null() { return Add({}); }
  bool boolean(bool value) { return Add({.kind = Kind::kBoolean, .boolean = value}); }
  bool number_integer(std::int64_t value) { return AddNumber(static_cast<double>(value)); }
  bool number_unsigned(std::uint64_t value) { return AddNumber(static_cast<double>(value)); }
  bool number_float(double value, const std::string& /*written*/) { return AddNumber(value); }
  bool string(std::string& value) { return Add({.kind = Kind::kText, .text = value}); }
  bool binary(Json::binary_t& /*value*/) { return Fail("Binary values have no place in JSON.", ""); }

  bool start_object(std::size_t /*elements*/) { return Open(Kind::kObject); }
  bool start_array(std::size_t /*elements*/) { return Open(Kind::kArray); }
  bool end_object() { return Close(); }
  bool end_array() { return Close(); }

  bool key(std::string& name) {
    JsonNode& object = *open_.back();
    const bool fresh = object.asked.insert(name).second;  // borrowed for the time of parsing, emptied in Close()
    object.members.push_back({.key = name, .value = {.line = line_}});
    if (fresh) return true;
    return Fail("The key stands twice in the same object.", "Keep one of the two.");
  }

  bool parse_error(std::size_t position, const std::string& last_token, const Json::exception& exception) {
    if (IsNamedNumber(position)) {
      return Fail("NaN and infinity are no JSON numbers.", "Write a number, or null where there is none.");
    }
    if (exception.id == kNumberOverflow) {
      return Fail("The number " + Quoted(last_token) + " is larger than a double can hold.", "Check the exponent.");
    }
    return Fail("This is not valid JSON: " + Reason(exception.what()) + ".",
                "Check the commas, quotes and brackets around.");
  }

 private:
  static constexpr std::size_t kDeepest = 64;
  static constexpr int kNumberOverflow = 406;  // the library's number for it

  bool Fail(const std::string& message, const std::string& advice) {
    error_ = Error{.kind = ErrorKind::kInvalidInput,
                   .code = "bad-json",
                   .message = message,
                   .advice = advice,
                   .file = file_name_,
                   .line = line_,
                   .key = Path()};
    return false;
  }

  // Pointers to open nodes stay valid: only the innermost container grows, and it holds none of the others.
  JsonNode* Place(JsonNode node) {
    node.line = line_;
    if (open_.empty()) {
      root_ = std::move(node);
      return &root_;
    }
    JsonNode& container = *open_.back();
    if (container.kind == Kind::kArray) return &container.items.emplace_back(std::move(node));
    return &(container.members.back().value = std::move(node));
  }

  bool Add(JsonNode node) {
    Place(std::move(node));
    return true;
  }

  bool AddNumber(double value) {
    if (!std::isfinite(value)) return Fail("The number is larger than a double can hold.", "Check the exponent.");
    return Add({.kind = Kind::kNumber, .number = value});
  }

  bool Open(Kind kind) {
    if (open_.size() >= kDeepest) {
      return Fail("Objects and arrays are nested more than 64 deep.",
                  "No file of this program's is: check that it is the right one.");
    }
    open_.push_back(Place({.kind = kind}));
    return true;
  }

  bool Close() {
    open_.back()->asked.clear();
    open_.pop_back();
    return true;
  }

  // "marks[0].length_m", of the value that is being read.
  std::string Path() const {
    std::string path;
    for (const JsonNode* node : open_) {
      if (node->kind == Kind::kArray) path += "[" + std::to_string(node->items.empty() ? 0 : IndexIn(*node)) + "]";
      if (node->kind != Kind::kObject || node->members.empty()) continue;
      if (!path.empty()) path += ".";
      path += node->members.back().key;
    }
    return path;
  }

  // Of an open item the last index; between items, that of the one to come.
  std::size_t IndexIn(const JsonNode& array) const {
    const bool item_is_open = &array != open_.back();
    return item_is_open ? array.items.size() - 1 : array.items.size();
  }

  // The library's words without its prefix: "... at line 3, column 5: syntax error while parsing value - invalid
  // literal".
  static std::string Reason(const std::string& what) {
    const std::size_t column = what.find("column");
    const std::size_t start = column == std::string::npos ? 0 : what.find(": ", column);
    std::string reason = start == std::string::npos ? what : what.substr(column == std::string::npos ? 0 : start + 2);
    for (char& letter : reason) {
      const auto byte = static_cast<unsigned char>(letter);
      if (byte < 0x20 || byte >= 0x7F) letter = '?';
    }
    return reason;
  }

  // The parser gives up on the first letter of NaN, Infinity and -inf, and on the second of nan.
  bool IsNamedNumber(std::size_t position) const {
    for (const std::size_t back : {1U, 2U}) {
      if (position < back || position - back >= text_.size()) continue;
      const std::string_view rest = std::string_view(text_).substr(position - back);
      for (const std::string_view name : {"NaN", "nan", "Inf", "inf"}) {
        if (rest.starts_with(name)) return true;
      }
    }
    return false;
  }

  const std::string& text_;
  const std::string& file_name_;
  const int& line_;
  JsonNode root_;
  std::vector<JsonNode*> open_;
  std::optional<Error> error_;
};

}  // namespace

Expected<JsonNode> ParseJsonTree(const std::string& text, const std::string& file_name) {
  int line = 1;
  TreeBuilder builder(text, file_name, line);
  const CountingIterator first(text.data(), &line);
  const CountingIterator last(text.data() + text.size(), &line);
  const bool parsed = Json::sax_parse(first, last, &builder);
  if (builder.error()) return *builder.error();
  if (!parsed)
    return Error{.kind = ErrorKind::kInternal, .code = "bad-json", .message = "The parser stopped.", .file = file_name};
  return std::move(builder.root());
}

}  // namespace loftline
