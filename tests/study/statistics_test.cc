// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/statistics.h"

#include <vector>

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(PlainMean, IsTheMeanWithItsStandardError) {
  const GroupMean group = PlainMean({2.0, 4.0, 9.0});
  EXPECT_EQ(group.count, 3U);
  EXPECT_DOUBLE_EQ(group.mean, 5.0);
  EXPECT_DOUBLE_EQ(group.variance_of_mean, 13.0 / 3.0);  // (9 + 1 + 16) / 2 / 3, by hand
}

TEST(PlainMean, OfOneValueHasNoStandardError) {
  EXPECT_EQ(PlainMean({2.0}).count, 1U);
  EXPECT_EQ(PlainMean({}).count, 0U);
}

}  // namespace
}  // namespace loftline
