// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/effect_size.h"

#include "study/difference.h"

#include <cmath>
#include <random>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// Hedges' factor for 8 degrees of freedom is 0.9027 in his table (J. Educ. Stat. 6 (1981) 107; here recomputed). By
// hand: means 3 and 5, both variances 2.5.
TEST(EffectSize, Nominal) {
  const auto effect = EffectSize({1, 2, 3, 4, 5}, {3, 4, 5, 6, 7});
  ASSERT_TRUE(effect);
  EXPECT_NEAR(effect->value, 0.9027 * 2 / std::sqrt(2.5), 1e-4);
  EXPECT_LT(effect->low_95, 0);
  EXPECT_GT(effect->high_95, effect->value);
  EXPECT_NEAR(effect->std * 2 * 1.959964, effect->high_95 - effect->low_95, 1e-5);
}

TEST(EffectSize, TurnsAround) {
  const std::vector<double> one = {1, 2.5, 3, 4.7}, other = {3, 4, 9};
  const auto there = EffectSize(one, other), back = EffectSize(other, one);
  EXPECT_NEAR(there->value, -back->value, 1e-12);
  EXPECT_NEAR(there->low_95, -back->high_95, 1e-8);
}

TEST(EffectSize, LeavesOutZeroWhereWelchsTestDoes) {
  const std::vector<double> one = {1, 2.5, 3, 4.7};
  for (double shift = 0; shift < 12; shift += 0.5) {
    const std::vector<double> other = {1.2 + shift, 2.1 + shift, 3.9 + shift, 4.0 + shift, 3.0 + shift};
    const auto effect = EffectSize(one, other);
    const auto welch = Compare(PlainMean(one), PlainMean(other));
    ASSERT_TRUE(effect && welch);
    EXPECT_EQ(effect->low_95 > 0, welch->difference.low_95 > 0) << shift;
  }
}

TEST(EffectSize, BearsVeryLargeEffects) {
  const auto effect = EffectSize({1, 2, 3}, {1e6, 1e6 + 1, 1e6 + 2});
  ASSERT_TRUE(effect);
  // A large effect is known as well as the deviation under it: of four degrees of freedom, chi2 0.4844 to 11.143.
  EXPECT_NEAR(effect->low_95 / 1e6, std::sqrt(0.4844 / 4), 1e-4);
  EXPECT_NEAR(effect->high_95 / 1e6, std::sqrt(11.143 / 4), 1e-4);
}

TEST(EffectSize, SaysNothingWhereItCannot) {
  EXPECT_FALSE(EffectSize({1}, {1, 2}));
  EXPECT_FALSE(EffectSize({}, {}));
  EXPECT_FALSE(EffectSize({1, 1}, {2, 2}));
  EXPECT_FALSE(EffectSize({1, 1}, {2, 3}));  // one degree of freedom
  EXPECT_TRUE(EffectSize({1, 1.01}, {2, 3}));
}

// How often the interval holds a true effect of 1, at 5 values a group: 95 % of 4000, give or take 0.34 % (one standard
// deviation); four times that is allowed.
TEST(EffectSize, HoldsTheTruthAsOftenAsItSays) {
  std::mt19937_64 random(81002);
  std::normal_distribution<double> normal;
  int inside = 0;
  double sum = 0;
  constexpr int kTimes = 4000;
  for (int i = 0; i < kTimes; ++i) {
    std::vector<double> one, other;
    for (int j = 0; j < 5; ++j) {
      one.push_back(normal(random));
      other.push_back(1 + normal(random));
    }
    const auto effect = EffectSize(one, other);
    inside += effect->low_95 < 1 && 1 < effect->high_95 ? 1 : 0;
    sum += effect->value;
  }
  EXPECT_NEAR(inside / static_cast<double>(kTimes), 0.95, 4 * 0.0034);
  EXPECT_NEAR(sum / kTimes, 1, 4 * 0.75 / std::sqrt(kTimes));  // the correction takes out a bias of 11 %
}

}  // namespace
}  // namespace loftline
