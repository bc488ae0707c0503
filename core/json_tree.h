// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <set>
#include <string>
#include <vector>

namespace loftline {

struct JsonMember;

// A parsed JSON value that remembers its line, which the library's own tree does not.
struct JsonNode {
  enum class Kind { kNull, kBoolean, kNumber, kText, kArray, kObject };
  Kind kind = Kind::kNull;
  int line = 0;
  bool boolean = false;
  double number = 0.0;
  std::string text;
  std::vector<JsonNode> items;      // of an array
  std::vector<JsonMember> members;  // of an object, in the file's order, each key once

  // What the reader has asked of an object, absent keys included: what is left over is unknown to it.
  std::set<std::string, std::less<>> asked;
  bool ignored = false;  // with all below
};

struct JsonMember {
  std::string key;
  JsonNode value;
};

// Errors: "bad-json", with line and key path: broken syntax, a key that stands twice, numbers that no double holds,
// text that is not UTF-8, nesting deeper than 64 (our files need 6; a hostile one must not exhaust the stack).
Expected<JsonNode> ParseJsonTree(const std::string& text, const std::string& file_name);

}  // namespace loftline
