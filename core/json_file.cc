// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/json_file.h"

#include "core/json_tree.h"
#include "core/read_file.h"
#include "core/text.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace loftline {

using Kind = JsonNode::Kind;

struct JsonReading {
  std::string file_name;
  JsonNode root;
  std::optional<Error> first_error;
  const JsonNode* missing_from = nullptr;  // where a missing key was wanted
  std::string missing_key;
};

namespace {

JsonNode* MemberOf(JsonNode& object, std::string_view key) {
  for (auto& [name, value] : object.members) {
    if (name == key) return &value;
  }
  return nullptr;
}

std::string KindName(const JsonNode& node) {
  switch (node.kind) {
    case Kind::kNull:
      return "null";
    case Kind::kBoolean:
      return node.boolean ? "true" : "false";
    case Kind::kNumber:
      return fmt::format("the number {}", node.number);
    case Kind::kText:
      return "the text " + Quoted(node.text);
    case Kind::kArray:
      return "an array";
    case Kind::kObject:
      return "an object";
  }
  return "something else";
}

std::string Join(const std::string& path, std::string_view key) {
  return path.empty() ? std::string(key) : path + "." + std::string(key);
}

std::vector<std::string> KeysNobodyAskedFor(const JsonNode& object) {
  std::vector<std::string> keys;
  for (const auto& [name, value] : object.members) {
    if (!object.asked.contains(name)) keys.push_back(name);
  }
  return keys;
}

// Known to the reader and not in the file: what a misspelt key may have been meant for.
std::vector<std::string> KeysStillWanted(const JsonNode& object) {
  std::vector<std::string> keys;
  for (const std::string& key : object.asked) {
    const auto is_it = [&](const JsonMember& member) { return member.key == key; };
    if (std::ranges::none_of(object.members, is_it)) keys.push_back(key);
  }
  return keys;
}

Error UnknownKey(const JsonNode& object, const std::string& key, const std::string& path, int line) {
  Error error{.kind = ErrorKind::kInvalidInput,
              .code = "unknown-key",
              .message = fmt::format("The key {} is not known here.", Quoted(key)),
              .advice = "Take it out or correct it.",
              .line = line,
              .key = Join(path, key)};
  if (const auto near = NearestWord(key, KeysStillWanted(object)))
    error.advice = fmt::format("Did you mean \"{}\"?", *near);
  return error;
}

std::optional<Error> FirstUnknownKey(const JsonNode& node, const std::string& path) {
  if (node.ignored) return std::nullopt;
  for (std::size_t i = 0; i < node.items.size(); ++i) {
    if (auto error = FirstUnknownKey(node.items[i], fmt::format("{}[{}]", path, i))) return error;
  }
  for (const auto& [name, value] : node.members) {
    if (!node.asked.contains(name)) return UnknownKey(node, name, path, value.line);
    if (auto error = FirstUnknownKey(value, Join(path, name))) return error;
  }
  return std::nullopt;
}

}  // namespace

JsonObject::JsonObject(std::shared_ptr<JsonReading> reading, JsonNode* node, std::string path)
    : reading_(std::move(reading)), node_(node), path_(std::move(path)) {}

JsonNode* JsonObject::Find(std::string_view key) const {
  node_->asked.emplace(key);
  return reading_->first_error ? nullptr : MemberOf(*node_, key);
}

JsonNode* JsonObject::Need(std::string_view key) {
  JsonNode* found = Find(key);
  if (found || reading_->first_error) return found;
  reading_->missing_from = node_;
  reading_->missing_key = key;
  Record(ErrorAt(key, "missing-key", fmt::format("The key {} is missing.", Quoted(key)), "Add it."));
  return nullptr;
}

void JsonObject::Record(Error error) const {
  if (!reading_->first_error) reading_->first_error = std::move(error);
}

void JsonObject::RecordWrongType(std::string_view key, const JsonNode& node, const std::string& wanted) const {
  Record(ErrorAt(key,
                 "bad-value",
                 fmt::format("This must be {}, but is {}.", wanted, KindName(node)),
                 fmt::format("Write {} here.", wanted)));
}

Error JsonObject::ErrorAt(std::string_view key,
                          const std::string& code,
                          const std::string& message,
                          const std::string& advice) const {
  const JsonNode* value = MemberOf(*node_, key);
  return Error{.kind = ErrorKind::kInvalidInput,
               .code = code,
               .message = message,
               .advice = advice,
               .file = reading_->file_name,
               .line = value ? value->line : node_->line,
               .key = key.empty() ? path_ : Join(path_, key)};
}

void JsonObject::Reject(std::string_view key, const std::string& message, const std::string& advice) {
  Record(ErrorAt(key, "bad-value", message, advice));
}

bool JsonObject::Has(std::string_view key) const {
  const JsonNode* value = Find(key);
  return value && value->kind != Kind::kNull;
}

std::optional<double> JsonObject::OptionalNumber(std::string_view key) {
  return Has(key) ? std::optional(Number(key)) : std::nullopt;
}
std::optional<int> JsonObject::OptionalInteger(std::string_view key) {
  return Has(key) ? std::optional(Integer(key)) : std::nullopt;
}
std::optional<std::string> JsonObject::OptionalText(std::string_view key) {
  return Has(key) ? std::optional(Text(key)) : std::nullopt;
}
std::optional<bool> JsonObject::OptionalBoolean(std::string_view key) {
  return Has(key) ? std::optional(Boolean(key)) : std::nullopt;
}
std::optional<std::vector<double>> JsonObject::OptionalNumbers(std::string_view key, std::size_t count) {
  return Has(key) ? std::optional(Numbers(key, count)) : std::nullopt;
}

double JsonObject::Number(std::string_view key) {
  const JsonNode* value = Need(key);
  if (!value) return 0.0;
  if (value->kind != Kind::kNumber) RecordWrongType(key, *value, "a number");
  return value->number;
}

int JsonObject::Integer(std::string_view key) {
  const JsonNode* value = Need(key);
  if (!value) return 0;
  const bool fits = value->kind == Kind::kNumber && value->number == std::trunc(value->number) &&
                    value->number >= std::numeric_limits<int>::min() &&
                    value->number <= std::numeric_limits<int>::max();
  if (!fits) {
    RecordWrongType(key, *value, "a whole number");
    return 0;
  }
  return static_cast<int>(value->number);
}

std::string JsonObject::Text(std::string_view key) {
  const JsonNode* value = Need(key);
  if (!value) return "";
  if (value->kind != Kind::kText) RecordWrongType(key, *value, "a text in quotes");
  return value->text;
}

bool JsonObject::Boolean(std::string_view key) {
  const JsonNode* value = Need(key);
  if (!value) return false;
  if (value->kind != Kind::kBoolean) RecordWrongType(key, *value, "true or false");
  return value->boolean;
}

std::vector<double> JsonObject::Numbers(std::string_view key, std::size_t count) {
  std::vector<double> numbers(count, 0.0);
  const JsonNode* value = Need(key);
  if (!value) return numbers;
  const auto is_number = [](const JsonNode& item) { return item.kind == Kind::kNumber; };
  if (value->kind != Kind::kArray || value->items.size() != count || !std::ranges::all_of(value->items, is_number)) {
    RecordWrongType(key, *value, fmt::format("an array of {} numbers", count));
    return numbers;
  }
  for (std::size_t i = 0; i < count; ++i) numbers[i] = value->items[i].number;
  return numbers;
}

std::optional<JsonObject> JsonObject::Child(std::string_view key) {
  JsonNode* value = Find(key);
  if (!value || value->kind == Kind::kNull) return std::nullopt;
  if (value->kind != Kind::kObject) {
    RecordWrongType(key, *value, "an object in braces");
    return std::nullopt;
  }
  return JsonObject(reading_, value, Join(path_, key));
}

std::vector<JsonObject> JsonObject::Children(std::string_view key) {
  JsonNode* value = Find(key);
  if (!value || value->kind == Kind::kNull) return {};
  const auto is_object = [](const JsonNode& item) { return item.kind == Kind::kObject; };
  if (value->kind != Kind::kArray || !std::ranges::all_of(value->items, is_object)) {
    RecordWrongType(key, *value, "an array of objects");
    return {};
  }
  std::vector<JsonObject> children;
  for (std::size_t i = 0; i < value->items.size(); ++i) {
    children.push_back(JsonObject(reading_, &value->items[i], fmt::format("{}[{}]", Join(path_, key), i)));
  }
  return children;
}

std::vector<std::string> JsonObject::Keys() const {
  std::vector<std::string> keys;
  for (const auto& [name, value] : node_->members) keys.push_back(name);
  return keys;
}

void JsonObject::Ignore(std::string_view key) {
  if (JsonNode* value = Find(key)) value->ignored = true;
}

JsonObject JsonDocument::root() const {
  return JsonObject(reading_, &reading_->root, "");
}

Status JsonDocument::Finish() const {
  if (!reading_->first_error) {
    std::optional<Error> unknown = FirstUnknownKey(reading_->root, "");
    if (!unknown) return Done{};
    unknown->file = reading_->file_name;
    return *unknown;
  }
  Error error = *reading_->first_error;
  if (error.code == "missing-key") {
    if (const auto near = NearestWord(reading_->missing_key, KeysNobodyAskedFor(*reading_->missing_from))) {
      error.advice = fmt::format("\"{}\" stands there: is it meant for \"{}\"?", *near, reading_->missing_key);
    }
  }
  return error;
}

Expected<JsonDocument> ParseJson(const std::string& text, const std::string& file_name) {
  Expected<JsonNode> tree = ParseJsonTree(text, file_name);
  if (!tree) return tree.error();
  if (tree->kind != Kind::kObject) {
    return Error{.kind = ErrorKind::kInvalidInput,
                 .code = "bad-json",
                 .message = fmt::format("The file must hold an object in braces, but holds {}.", KindName(*tree)),
                 .advice = "Check that it is the right file.",
                 .file = file_name,
                 .line = tree->line};
  }
  JsonDocument document;
  document.reading_ = std::make_shared<JsonReading>();
  document.reading_->file_name = file_name;
  document.reading_->root = std::move(*tree);
  return document;
}

Expected<JsonDocument> ReadJson(const std::filesystem::path& path) {
  constexpr std::size_t kLargestBytes = std::size_t{64} << 20;  // a result with its path is some 100 kB
  Expected<std::string> text = ReadWholeFile(path, kLargestBytes);
  if (!text) return text.error();
  return ParseJson(*text, path.string());
}

Status CheckFormat(JsonObject& root, std::string_view format, int version) {
  const std::string found = root.OptionalText("format").value_or("");
  if (found != format) {
    const std::string what = found.empty() ? "does not say what it is" : "is of the format " + Quoted(found);
    return root.ErrorAt("format",
                        "bad-format",
                        fmt::format("The file {}, but {} is needed here.", what, Quoted(format)),
                        "Check that it is the right file.");
  }
  const double found_version = root.OptionalNumber("format_version").value_or(0.0);
  if (found_version != version) {
    const std::string what = root.Has("format_version") ? fmt::format("{}", found_version) : "missing or no number";
    return root.ErrorAt("format_version",
                        "bad-version",
                        fmt::format("The format version is {}, but this program reads version {}.", what, version),
                        "Use the version of the program that the file was made with or for.");
  }
  return Done{};
}

}  // namespace loftline
