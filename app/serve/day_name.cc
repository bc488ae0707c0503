// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_name.h"

#include "core/text.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <vector>

namespace loftline {
namespace {

constexpr std::size_t kMostLetters = 60;
constexpr std::size_t kMostBytes = 200;  // a folder's name has an end: 255 bytes in most file systems

// The characters of sound UTF-8.
std::vector<std::uint32_t> CodePoints(const std::string& text) {
  std::vector<std::uint32_t> points;
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    std::uint32_t point = length == 1 ? lead : lead & (0xFFU >> (length + 1));
    for (std::size_t j = 1; j < length; ++j) {
      point = point << 6U | (static_cast<unsigned char>(text[i + j]) & 0x3FU);
    }
    points.push_back(point);
    i += length;
  }
  return points;
}

struct Range {
  std::uint32_t first, last;
};
// Of the characters beyond ASCII, those that are no letters: Latin-1's signs, spaces and punctuation, arrows and
// drawings, signs without width, private ones, emoji and tags (Unicode's charts, by block).
constexpr std::array<Range, 15> kNoLetters{{{0x80, 0xA9},
                                            {0xAB, 0xB4},
                                            {0xB6, 0xB9},
                                            {0xBB, 0xBF},
                                            {0xD7, 0xD7},
                                            {0xF7, 0xF7},
                                            {0x61C, 0x61C},
                                            {0x1680, 0x1680},
                                            {0x180E, 0x180E},
                                            {0x2000, 0x2BFF},
                                            {0x2E00, 0x2E7F},
                                            {0x3000, 0x3004},
                                            {0x3008, 0x3020},
                                            {0xE000, 0xF8FF},
                                            {0xFE00, 0xFE6F}}};

bool IsDigit(std::uint32_t point) {
  return point >= '0' && point <= '9';
}

bool IsLetter(std::uint32_t point) {
  if (point < 0x80) return (point >= 'A' && point <= 'Z') || (point >= 'a' && point <= 'z');
  if (point == 0xFEFF || (point >= 0xFFF0 && point <= 0xFFFF) || point >= 0x1F000)
    return point >= 0x20000 && point < 0x32000;
  return std::ranges::none_of(kNoLetters,
                              [&](const Range& range) { return point >= range.first && point <= range.last; });
}

bool MayStand(std::uint32_t point) {
  return IsLetter(point) || IsDigit(point) || point == ' ' || point == '-' || point == '_';
}

}  // namespace

Status CheckDayName(const std::string& name) {
  const auto bad = [&](const std::string& message) {
    return Error{ErrorKind::kUsage,
                 "bad-name",
                 message,
                 "Use letters, digits, spaces, dashes and underscores, 60 at most, beginning with a letter or digit."};
  };
  if (name.empty()) return bad("The day has no name.");
  if (FirstBadUtf8(name)) return bad("The name is no text.");
  const std::vector<std::uint32_t> points = CodePoints(name);
  if (points.size() > kMostLetters || name.size() > kMostBytes) return bad("The name is too long.");
  if (!std::ranges::all_of(points, MayStand)) return bad(Quoted(name) + " holds a sign that no name may have.");
  if (!IsLetter(points.front()) && !IsDigit(points.front()))
    return bad(Quoted(name) + " does not begin with a letter.");
  if (points.back() == ' ') return bad("The name ends with a space.");
  return Done{};
}

}  // namespace loftline
