// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/error.h"

#include "core/expected.h"

#include <stdexcept>

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(Describe, NamesPlaceReasonAndAdvice) {
  const Error error{.code = "bad-value",
                    .message = "The length is -3 m, but must be above zero.",
                    .advice = "Correct it.",
                    .file = "field.survey.json",
                    .line = 12,
                    .key = "marks[0].length_m"};
  EXPECT_EQ(Describe(error),
            "field.survey.json:12: marks[0].length_m: The length is -3 m, but must be above zero. Correct it.");
}

TEST(Describe, LeavesOutWhatIsNotKnown) {
  EXPECT_EQ(Describe(Error{.message = "Cancelled."}), "Cancelled.");
  EXPECT_EQ(Describe(Error{.message = "No.", .file = "a.csv"}), "a.csv: No.");
}

TEST(Describe, StaysOnOneLineWhateverTheKeyHolds) {
  EXPECT_EQ(Describe(Error{.message = "No.", .file = "a\nb.csv", .key = "two\r\nlines \x1B[31m"}),
            "a?b.csv: two??lines ?[31m: No.");
}

TEST(Expected, GivesValueOrError) {
  const Expected<int> value = 7;
  ASSERT_TRUE(value);
  EXPECT_EQ(*value, 7);
  const Expected<int> nothing = Error{.code = "no-rocket"};
  ASSERT_FALSE(nothing);
  EXPECT_EQ(nothing.error().code, "no-rocket");
}

TEST(Expected, LookingAtTheWrongSideIsABug) {
  const Expected<int> value = 7;
  const Expected<int> nothing = Error{.code = "no-rocket"};
  EXPECT_THROW(static_cast<void>(*nothing), std::logic_error);
  EXPECT_THROW(static_cast<void>(value.error()), std::logic_error);
}

}  // namespace
}  // namespace loftline
