// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/expected.h"
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
class JsonObject {
 public:
  bool Has(std::string_view key) const;  // present and not null
  double Number(std::string_view key);
  std::optional<double> OptionalNumber(std::string_view key);  // absent and null both give nothing
  int Integer(std::string_view key);
  std::optional<int> OptionalInteger(std::string_view key);
  std::string Text(std::string_view key);
  std::optional<std::string> OptionalText(std::string_view key);
  std::vector<double> Numbers(std::string_view key, std::size_t count);  // exactly COUNT numbers
  std::optional<std::vector<double>> OptionalNumbers(std::string_view key, std::size_t count);
  std::optional<JsonObject> Child(std::string_view key);       // an object; absent and null give nothing
  std::vector<JsonObject> Children(std::string_view key);      // an array of objects; absent gives none
  void Ignore(std::string_view key);                           // known, not wanted here, with all below it

  // Records that the value of KEY breaks a rule of the caller's ("must be above zero").
  void Reject(std::string_view key, const std::string& message, const std::string& advice);
  // The error that Reject would record, for callers that look across several keys.
  Error ErrorAt(std::string_view key, const std::string& code, const std::string& message, const std::string& advice) const;

 private:
  friend class JsonDocument;
  struct Node;
  struct Shared;
  JsonObject(std::shared_ptr<Shared> shared, const Node* node);
  std::shared_ptr<Shared> shared_;
  const Node* node_ = nullptr;
};

class JsonDocument {
 public:
  JsonObject root() const;
  Status Finish() const;

 private:
  friend Expected<JsonDocument> ParseJson(const std::string& text, const std::string& file_name);
  std::shared_ptr<JsonObject::Shared> shared_;
};

// Errors: "cannot-read", "bad-json" (with the line), "unknown-key", "missing-key", "bad-value".
Expected<JsonDocument> ReadJson(const std::filesystem::path& path);
Expected<JsonDocument> ParseJson(const std::string& text, const std::string& file_name);

// Checks "format" and "format_version" of the root: errors "bad-format" and "bad-version" name what was found and expected.
Status CheckFormat(JsonObject& root, std::string_view format, int version);

// Pretty-printed (two spaces), with a newline at the end, written atomically. A NaN or infinity anywhere is an internal error.
Status WriteJson(const std::filesystem::path& path, const nlohmann::ordered_json& json);

}  // namespace loftline
