// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_name.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(CheckDayName, TakesNamesOfAllLanguages) {
  for (const char* name : {"Ebbing Hollow", "2026-06-13", "friday_2", "Frühflut", "Ёж", "潮の日", "a"}) {
    EXPECT_TRUE(CheckDayName(name)) << name;
  }
  EXPECT_TRUE(CheckDayName(std::string(60, 'x')));
}

TEST(CheckDayName, RefusesWhatCouldLeaveTheFolderOrHide) {
  for (const char* name : {"",           ".",
                           "..",         "../other",
                           "a/b",        "a\\b",
                           ".hidden",    "day.csv",
                           "c:day",      " day",
                           "day ",       "-day",
                           "day\n",      "day\x7f",
                           "a\u200bb",                           // a space without width
                           "a\u202eb",                           // turns the direction of writing
                           "a\u2044b",                           // a stroke that looks like a separator
                           "a\ufeff",                            // a mark without width
                           "a\u00a0b",                           // a space that does not break
                           "\U0001F680",                         // a picture
                           "\xff",       "\xc0\xae\xc0\xae"}) {  // dots, written too long
    const Status status = CheckDayName(name);
    ASSERT_FALSE(status) << name;
    EXPECT_EQ(status.error().code, "bad-name") << name;
  }
  EXPECT_FALSE(CheckDayName(std::string(61, 'x')));
  EXPECT_FALSE(CheckDayName(std::string("day\0x", 5)));
}

}  // namespace
}  // namespace loftline
