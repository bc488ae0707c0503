// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/wrap_text.h"

#include <sstream>
#include <string>

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(Wrapped, BreaksAtBlanksAndIndentsEveryLine) {
  const std::string words = "Step back or tilt the phone up so that the whole arc of the flight is in the picture.";
  EXPECT_EQ(Wrapped(words, 6),
            "      Step back or tilt the phone up so that the whole arc of the flight is in\n"
            "      the picture.\n");
  EXPECT_EQ(Wrapped("short", 0), "short\n");
  EXPECT_EQ(Wrapped("", 4), "");
}

TEST(Wrapped, CountsCharactersAndCutsNone) {
  std::string word;
  for (int i = 0; i < 85; ++i) word += "\xC2\xB1";
  std::istringstream lines(Wrapped(word, 0));
  std::string first;
  std::string second;
  std::getline(lines, first);
  std::getline(lines, second);
  EXPECT_EQ(Width(first), kTerminalColumns);
  EXPECT_EQ(first.size(), 2 * kTerminalColumns);
  EXPECT_EQ(Width(second), 5U);
}

}  // namespace
}  // namespace loftline
