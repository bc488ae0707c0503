// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/text.h"

#include "core/letter_case.h"

#include <algorithm>
#include <limits>

namespace loftline {
namespace {

struct Utf8Lead {
  std::size_t length = 0;           // bytes in the whole character; 0: no character begins with this byte
  unsigned char second_low = 0x80;  // the second byte's range is where overlong forms and surrogates show
  unsigned char second_high = 0xBF;
};

// RFC 3629, section 4.
Utf8Lead LeadOf(unsigned char byte) {
  if (byte < 0x80) return {1};
  if (byte >= 0xC2 && byte <= 0xDF) return {2};
  if (byte == 0xE0) return {3, 0xA0, 0xBF};
  if (byte == 0xED) return {3, 0x80, 0x9F};
  if (byte >= 0xE1 && byte <= 0xEF) return {3};
  if (byte == 0xF0) return {4, 0x90, 0xBF};
  if (byte == 0xF4) return {4, 0x80, 0x8F};
  if (byte >= 0xF1 && byte <= 0xF3) return {4};
  return {};
}

// Optimal string alignment distance: insertions, deletions, changes, and swaps of neighbours.
std::size_t EditDistance(std::string_view left, std::string_view right) {
  const std::size_t columns = right.size() + 1;
  std::vector<std::size_t> cost((left.size() + 1) * columns);
  const auto at = [&](std::size_t i, std::size_t j) -> std::size_t& { return cost[i * columns + j]; };
  for (std::size_t i = 0; i <= left.size(); ++i) at(i, 0) = i;
  for (std::size_t j = 0; j <= right.size(); ++j) at(0, j) = j;
  for (std::size_t i = 1; i <= left.size(); ++i) {
    for (std::size_t j = 1; j <= right.size(); ++j) {
      const std::size_t change = left[i - 1] == right[j - 1] ? 0 : 1;
      at(i, j) = std::min({at(i - 1, j) + 1, at(i, j - 1) + 1, at(i - 1, j - 1) + change});
      if (i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1]) {
        at(i, j) = std::min(at(i, j), at(i - 2, j - 2) + 1);
      }
    }
  }
  return cost.back();
}

}  // namespace

std::optional<std::size_t> FirstBadUtf8(std::string_view text) {
  std::size_t at = 0;
  while (at < text.size()) {
    const Utf8Lead lead = LeadOf(static_cast<unsigned char>(text[at]));
    if (lead.length == 0 || at + lead.length > text.size()) return at;
    for (std::size_t i = 1; i < lead.length; ++i) {
      const auto byte = static_cast<unsigned char>(text[at + i]);
      const unsigned char low = i == 1 ? lead.second_low : 0x80;
      const unsigned char high = i == 1 ? lead.second_high : 0xBF;
      if (byte < low || byte > high) return at;
    }
    at += lead.length;
  }
  return std::nullopt;
}

std::string Quoted(std::string_view text) {
  constexpr std::size_t kLongest = 60;
  std::string quoted = "\"";
  while (!text.empty()) {
    const std::size_t length = std::max<std::size_t>(LeadOf(static_cast<unsigned char>(text[0])).length, 1);
    const std::string_view character = text.substr(0, length);
    const bool printable = !FirstBadUtf8(character) && static_cast<unsigned char>(text[0]) >= 0x20 && text[0] != 0x7F;
    if (quoted.size() + character.size() > kLongest) {
      quoted += "...";
      break;
    }
    quoted += printable ? std::string(character) : "?";
    text.remove_prefix(printable ? character.size() : 1);
  }
  return quoted + "\"";
}

std::optional<std::string> NearestWord(std::string_view word, const std::vector<std::string>& candidates) {
  constexpr std::size_t kLongestWord = 64;  // nobody mistypes more, and the cost grows with the square
  if (word.size() > kLongestWord) return std::nullopt;
  const std::size_t allowed = word.size() >= 8 ? 2 : word.size() >= 4 ? 1 : 0;
  std::optional<std::string> nearest;
  std::size_t least = std::numeric_limits<std::size_t>::max();
  for (const std::string& candidate : candidates) {
    if (candidate.size() > kLongestWord) continue;
    const std::size_t distance = EditDistance(LowerCase(word), LowerCase(candidate));
    if (distance <= allowed && distance < least) {
      least = distance;
      nearest = candidate;
    }
  }
  return nearest;
}

std::string_view Trimmed(std::string_view text) {
  constexpr std::string_view kBlank = " \t\r\n";
  const std::size_t first = text.find_first_not_of(kBlank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

}  // namespace loftline
