// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_words_file.h"

#include "core/json_file.h"
#include "core/read_file.h"

namespace loftline {
namespace {

constexpr const char* kFormat = "loftline.day-words 2 of " LOFTLINE_VERSION;  // the number goes up with the keys
constexpr std::size_t kLargestBytes = std::size_t{32} << 20;

}  // namespace

Status WriteWords(const std::filesystem::path& path, nlohmann::ordered_json words) {
  return WriteJson(path, {{"format", kFormat}, {"words", std::move(words)}});
}

nlohmann::ordered_json ReadWords(const std::filesystem::path& path) {
  const Expected<std::string> text = ReadWholeFile(path, kLargestBytes);
  if (!text) return nullptr;
  nlohmann::ordered_json json = nlohmann::ordered_json::parse(*text, nullptr, false);
  if (!json.is_object() || !json.contains("format") || json["format"] != kFormat || !json.contains("words"))
    return nullptr;
  return json["words"].is_object() ? std::move(json["words"]) : nlohmann::ordered_json();
}

}  // namespace loftline
