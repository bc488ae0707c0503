// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/text.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

struct Utf8Case {
  std::string_view text;
  std::optional<std::size_t> bad_at;
};

// Sequences of RFC 3629: the table of section 4, and the overlong and surrogate forms that section 3 and 10 rule out.
TEST(FirstBadUtf8, FollowsRfc3629) {
  using namespace std::string_view_literals;
  const Utf8Case cases[] = {
      {"", {}},
      {"plain", {}},
      {"8.2 \xC2\xB1 0.1", {}},
      {"\xE2\x88\x92", {}},
      {"\xF0\x9F\x9A\x80", {}},
      {"\x00"sv, {}},
      {"\xED\x9F\xBF", {}},      // U+D7FF, the last before the surrogates
      {"\xEE\x80\x80", {}},      // U+E000, the first after them
      {"\xF4\x8F\xBF\xBF", {}},  // U+10FFFF
      {"a\x80", 1},              // a continuation alone
      {"ab\xC3", 2},             // cut short
      {"\xC0\x80", 0},           // overlong NUL, section 10
      {"\xC1\xBF", 0},           // overlong
      {"\xE0\x9F\xBF", 0},       // overlong
      {"\xED\xA0\x80", 0},       // U+D800
      {"\xF0\x8F\xBF\xBF", 0},   // overlong
      {"\xF4\x90\x80\x80", 0},   // above U+10FFFF
      {"\xF5\x80\x80\x80", 0},
      {"\xFF\xFE", 0},  // UTF-16's byte-order mark
      {"\xE2\x88x", 0},
  };
  for (const Utf8Case& one : cases) EXPECT_EQ(FirstBadUtf8(one.text), one.bad_at) << Quoted(one.text);
}

TEST(Quoted, StaysShortAndPrintable) {
  EXPECT_EQ(Quoted("8.2 g"), "\"8.2 g\"");
  EXPECT_EQ(Quoted("a\nb\x1B[31m\xFF"), "\"a?b?[31m?\"");
  EXPECT_EQ(Quoted("8 ± 1"), "\"8 ± 1\"");
  const std::string quoted = Quoted(std::string(1000, 'x'));
  EXPECT_LT(quoted.size(), 70U);
  EXPECT_TRUE(quoted.ends_with("...\""));
}

TEST(Quoted, CutsBetweenCharacters) {
  std::string text;
  for (int i = 0; i < 100; ++i) text += "\xE2\x88\x92";
  EXPECT_FALSE(FirstBadUtf8(Quoted(text)).has_value());
}

TEST(NearestWord, FindsSlipsOfTheKeyboard) {
  const std::vector<std::string> words = {"length_m", "length_std_m", "lies", "mark_std_px", "k1"};
  EXPECT_EQ(NearestWord("lenght_m", words), "length_m");
  EXPECT_EQ(NearestWord("length_std", words), "length_std_m");
  EXPECT_EQ(NearestWord("Lies", words), "lies");
  EXPECT_EQ(NearestWord("mark_px", words), std::nullopt);
  EXPECT_EQ(NearestWord("k2", words), std::nullopt);
  EXPECT_EQ(NearestWord("", words), std::nullopt);
  EXPECT_EQ(NearestWord(std::string(100000, 'a'), words), std::nullopt);
}

}  // namespace
}  // namespace loftline
