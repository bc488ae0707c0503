// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// Strict reading of JSON: unknown keys, duplicate keys, wrong types, NaN and infinities are errors that name file, line
// and key path. Usage:
//
//   Expected<JsonDocument> document = ReadJson(path);
//   if (!document) return document.error();
//   JsonObject root = document->root();
//   double mass_kg = root.Number("mass_kg");
//   ...
//   if (Status status = document->Finish(); !status) return status.error();
//
// The first thing that goes wrong is kept in the document; from then on the getters return zeros, so that reading code
// needs one check at the end, in Finish(), which also reports the first key that nobody asked for.
struct JsonNode;     // core/json_tree.h
struct JsonReading;  // one document being read

class JsonObject {
 public:
  bool Has(std::string_view key) const;  // present and not null
  double Number(std::string_view key);
  std::optional<double> OptionalNumber(std::string_view key);  // absent and null both give nothing
  int Integer(std::string_view key);
  std::optional<int> OptionalInteger(std::string_view key);
  std::string Text(std::string_view key);
  std::optional<std::string> OptionalText(std::string_view key);
  bool Boolean(std::string_view key);
  std::optional<bool> OptionalBoolean(std::string_view key);
  std::vector<double> Numbers(std::string_view key, std::size_t count);  // exactly COUNT numbers
  std::optional<std::vector<double>> OptionalNumbers(std::string_view key, std::size_t count);
  std::optional<JsonObject> Child(std::string_view key);   // an object; absent and null give nothing
  std::vector<JsonObject> Children(std::string_view key);  // an array of objects; absent gives none
  std::vector<std::string> Keys() const;                   // in the file's order, for objects with free keys
  void Ignore(std::string_view key);                       // known, not wanted here, with all below it

  // Records that the value of KEY breaks a rule of the caller's ("must be above zero").
  void Reject(std::string_view key, const std::string& message, const std::string& advice);
  // The error that Reject would record, for callers that look across several keys.
  Error ErrorAt(std::string_view key,
                const std::string& code,
                const std::string& message,
                const std::string& advice) const;

 private:
  friend class JsonDocument;
  JsonObject(std::shared_ptr<JsonReading> reading, JsonNode* node, std::string path);
  // The value of KEY, which counts as asked for; null when absent or when something went wrong before.
  JsonNode* Find(std::string_view key) const;
  JsonNode* Need(std::string_view key);
  std::string PathOf(std::string_view key) const;
  void Record(Error error) const;
  void RecordWrongType(std::string_view key, const JsonNode& node, const std::string& wanted) const;

  std::shared_ptr<JsonReading> reading_;
  JsonNode* node_ = nullptr;
  std::string path_;  // of this object; empty for the root
};

class JsonDocument {
 public:
  JsonObject root() const;
  Status Finish() const;

 private:
  friend Expected<JsonDocument> ParseJson(const std::string& text, const std::string& file_name);
  std::shared_ptr<JsonReading> reading_;
};

// Errors: "cannot-read", "bad-json" (with the line), "unknown-key", "missing-key", "bad-value".
Expected<JsonDocument> ReadJson(const std::filesystem::path& path);
Expected<JsonDocument> ParseJson(const std::string& text, const std::string& file_name);

// Checks "format" and "format_version" of the root: errors "bad-format" and "bad-version" name what was found and
// expected.
Status CheckFormat(JsonObject& root, std::string_view format, int version);

// Pretty-printed (two spaces; arrays of plain values on one line), numbers in the shortest form that reads back as the
// same double, with a newline at the end. Bytes that are not UTF-8 (file names may hold such) become U+FFFD. A NaN or
// infinity anywhere is the internal error "not-finite", naming the key path.
Expected<std::string> JsonText(const nlohmann::ordered_json& json);
// The same, written atomically.
Status WriteJson(const std::filesystem::path& path, const nlohmann::ordered_json& json);

}  // namespace loftline
