// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/permutation.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

// By hand: of the 20 ways to deal six values only the one seen and its mirror part them fully.
TEST(PermutationP, Nominal) {
  EXPECT_DOUBLE_EQ(*PermutationP({1, 2, 3}, {11, 12, 13}), 2.0 / 20);
  EXPECT_DOUBLE_EQ(*PermutationP({1, 2}, {11, 12, 13}), 1.0 / 10);  // unequal groups have no mirror
}

TEST(PermutationP, IsOneWhereNothingIsLess) {
  EXPECT_EQ(*PermutationP({1, 2, 3}, {1, 2, 3}), 1);
  EXPECT_EQ(*PermutationP({4, 4}, {4, 4}), 1);
}

TEST(PermutationP, CountsTiesWhateverTheRounding) {
  const double p = *PermutationP({0.1, 0.2, 0.3}, {1.1, 1.2, 1.3});
  EXPECT_EQ(*PermutationP({1000.1, 1000.2, 1000.3}, {1001.1, 1001.2, 1001.3}), p);
  EXPECT_EQ(*PermutationP({0.1e-9, 0.2e-9, 0.3e-9}, {1.1e-9, 1.2e-9, 1.3e-9}), p);
  EXPECT_EQ(*PermutationP({1.3, 1.1, 1.2}, {0.2, 0.3, 0.1}), p);
}

// Groups without any scatter are as far apart as can be.
TEST(PermutationP, BearsGroupsWithoutSpread) {
  EXPECT_DOUBLE_EQ(*PermutationP({1, 1, 1}, {2, 2, 2}), 2.0 / 20);
}

TEST(PermutationP, SaysNothingWhereItCannot) {
  EXPECT_FALSE(PermutationP({1}, {1, 2, 3}));
  EXPECT_FALSE(PermutationP({1, 2}, {}));
  const std::vector<double> ten = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
  EXPECT_TRUE(PermutationP(ten, ten));  // 184,756 ways
  EXPECT_FALSE(PermutationP(ten, ten, 184755));
  EXPECT_TRUE(PermutationP({1, 2}, {3, 4}, 6));
  EXPECT_FALSE(PermutationP({1, 2}, {3, 4}, 5));
}

}  // namespace
}  // namespace loftline
