// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/difference.h"

#include "core/distributions.h"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include <gtest/gtest.h>

namespace loftline {
namespace {

const GroupMean kOne = {4, 10.0, 0.09, 0.6};
const GroupMean kOther = {6, 11.5, 0.16, 0.98};

// By hand: standard error 0.5, Welch's degrees of freedom 0.25^2 / (0.09^2 / 3 + 0.16^2 / 5).
TEST(Compare, Nominal) {
  const auto found = Compare(kOne, kOther);
  ASSERT_TRUE(found);
  EXPECT_DOUBLE_EQ(found->difference.value, 1.5);
  EXPECT_DOUBLE_EQ(found->difference.std, 0.5);
  EXPECT_DOUBLE_EQ(found->t, 3);
  EXPECT_NEAR(found->df, 0.0625 / (0.0027 + 0.00512), 1e-12);
  const double half_width = 0.5 * StudentQuantile(0.975, found->df);
  EXPECT_NEAR(found->difference.low_95, 1.5 - half_width, 1e-12);
  EXPECT_NEAR(found->difference.high_95, 1.5 + half_width, 1e-12);
  EXPECT_NEAR(found->p, StudentTwoTails(3, found->df), 1e-15);
}

TEST(Compare, TurnsAround) {
  for (const std::size_t groups : {2U, 4U}) {
    const auto there = Compare(kOne, kOther, groups), back = Compare(kOther, kOne, groups);
    EXPECT_DOUBLE_EQ(there->difference.low_95, -back->difference.high_95);
    EXPECT_DOUBLE_EQ(there->p, back->p);
  }
}

// The interval leaves out zero exactly where p is below 0.05.
TEST(Compare, AgreesWithItself) {
  for (const std::size_t groups : {2U, 3U, 5U}) {
    for (const GroupMean& other : {kOther, GroupMean{2, 0.0, 0.16, 0.5}}) {
      GroupMean moved = other;
      const auto width = Compare(kOne, other, groups);
      const double half_width = width->difference.high_95 - width->difference.value;
      for (const double share : {0.999, 1.001}) {
        moved.mean = kOne.mean + share * half_width;
        const auto found = Compare(kOne, moved, groups);
        EXPECT_EQ(found->difference.low_95 > 0, share > 1);
        EXPECT_EQ(found->p<0.05, share> 1) << found->p << ", df " << found->df;
      }
    }
  }
}

TEST(Compare, IsMoreCautiousInALargerFamily) {
  double last = 0;
  for (const std::size_t groups : {2U, 3U, 4U, 8U}) {
    const auto found = Compare(kOne, kOther, groups);
    EXPECT_GT(found->p, last);
    last = found->p;
    EXPECT_DOUBLE_EQ(found->t, 3);
  }
}

TEST(Compare, AddsKnownVariance) {
  const auto found = Compare(kOne, kOther, 2, 0.75);
  ASSERT_TRUE(found);
  EXPECT_DOUBLE_EQ(found->difference.std, 1.0);
  EXPECT_NEAR(found->df, 1.0 / (0.0027 + 0.00512), 1e-9);
}

TEST(Compare, OfKnownVarianceAloneIsNormal) {
  GroupMean one = kOne, other = kOther;
  one.variance_of_mean = other.variance_of_mean = 0;
  const auto found = Compare(one, other, 2, 1.0);
  ASSERT_TRUE(found);
  EXPECT_TRUE(std::isinf(found->df));
  EXPECT_NEAR(found->difference.high_95 - found->difference.value, 1.959964, 1e-6);
  EXPECT_TRUE(Compare(one, other, 3, 1.0));
}

TEST(Compare, SaysNothingWhereItCannot) {
  GroupMean single = kOne;
  single.count = 1;
  EXPECT_FALSE(Compare(single, kOther));
  EXPECT_FALSE(Compare(kOther, single));
  GroupMean one = kOne, other = kOther;
  one.variance_of_mean = other.variance_of_mean = 0;
  EXPECT_FALSE(Compare(one, other));
  EXPECT_THROW(Compare(kOne, kOther, 2, -1), std::invalid_argument);
  EXPECT_THROW(Compare(kOne, kOther, 2, std::nan("")), std::invalid_argument);
  EXPECT_THROW(Compare(kOne, kOther, 1), std::invalid_argument);
}

}  // namespace
}  // namespace loftline
