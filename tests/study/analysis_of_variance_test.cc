// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/analysis_of_variance.h"

#include "core/distributions.h"
#include "study/difference.h"

#include <cmath>
#include <stdexcept>

#include <gtest/gtest.h>

namespace loftline {
namespace {

const std::vector<GroupMean>& ThreeGroups() {
  static const std::vector<GroupMean> groups = {
      PlainMean({3.1, 2.7, 3.6, 3.0}), PlainMean({4.4, 3.9, 5.8}), PlainMean({2.2, 2.3, 2.0, 2.6, 2.1})};
  return groups;
}

// By hand: means 2, 4, 9, grand mean 5.
TEST(AnalyseVariance, Nominal) {
  const OneWayAnova anova = AnalyseVariance({{1, 3}, {3, 5}, {8, 10}});
  EXPECT_DOUBLE_EQ(anova.ss_between, 2 * (9 + 1 + 16));
  EXPECT_DOUBLE_EQ(anova.ss_within, 6);
  EXPECT_EQ(anova.df_between, 2);
  EXPECT_EQ(anova.df_within, 3);
  EXPECT_DOUBLE_EQ(anova.f, 13);
  EXPECT_DOUBLE_EQ(anova.r_squared, 52.0 / 58);
  EXPECT_DOUBLE_EQ(anova.residual_std, std::sqrt(2));
}

TEST(AnalyseVariance, KeepsItsDigitsOnALargeConstant) {
  const OneWayAnova small = AnalyseVariance({{1, 3, 2}, {3, 5}, {8, 10}});
  const OneWayAnova large = AnalyseVariance({{1e9 + 1, 1e9 + 3, 1e9 + 2}, {1e9 + 3, 1e9 + 5}, {1e9 + 8, 1e9 + 10}});
  EXPECT_NEAR(large.f / small.f, 1, 1e-14);
}

TEST(AnalyseVariance, SaysNothingOfTooFewValues) {
  EXPECT_EQ(AnalyseVariance({}).p, 1);
  EXPECT_EQ(AnalyseVariance({{1, 2, 3}, {}}).p, 1);
  EXPECT_EQ(AnalyseVariance({{1}, {2}}).p, 1);
  const OneWayAnova still = AnalyseVariance({{1, 1}, {2, 2}});
  EXPECT_EQ(still.p, 1);
  EXPECT_EQ(still.r_squared, 1);
  EXPECT_EQ(AnalyseVariance({{1, 1}, {1, 1}}).r_squared, 0);
}

// Welch's formulae as printed in the paper, written out plainly.
TEST(AnalyseByWelch, IsWelchsTest) {
  const std::vector<GroupMean>& groups = ThreeGroups();
  double weights = 0, mean = 0;
  for (const GroupMean& group : groups) weights += 1 / group.variance_of_mean;
  for (const GroupMean& group : groups) mean += group.mean / group.variance_of_mean / weights;
  double squares = 0, corrections = 0;
  for (const GroupMean& group : groups) {
    squares += (group.mean - mean) * (group.mean - mean) / group.variance_of_mean;
    const double share = 1 - 1 / group.variance_of_mean / weights;
    corrections += share * share / (static_cast<double>(group.count) - 1);
  }
  const auto welch = AnalyseByWelch(groups);
  ASSERT_TRUE(welch);
  EXPECT_NEAR(welch->f, squares / 2 / (1 + 2.0 / 8 * corrections), 1e-12);
  EXPECT_NEAR(welch->df_within, 8 / (3 * corrections), 1e-12);
  EXPECT_NEAR(welch->p, FTail(welch->f, 2, welch->df_within), 1e-15);
}

TEST(AnalyseByWelch, OfTwoGroupsIsTheTTest) {
  const GroupMean one = ThreeGroups()[0], other = ThreeGroups()[1];
  for (const double extra : {0.0, 0.3}) {
    const auto difference = Compare(one, other, 2, 2 * extra);
    const auto welch = AnalyseByWelch({one, other}, {extra, 0, 0, extra});
    ASSERT_TRUE(difference && welch);
    EXPECT_NEAR(welch->f, difference->t * difference->t, 1e-12);
    EXPECT_NEAR(welch->df_within, difference->df, 1e-10);
    EXPECT_NEAR(welch->p, difference->p, 1e-12);
  }
}

// What moves all means together moves no difference.
TEST(AnalyseByWelch, IsNotMovedByAnErrorThatAllShare) {
  const auto without = AnalyseByWelch(ThreeGroups());
  const auto with = AnalyseByWelch(ThreeGroups(), std::vector<double>(9, 7.0));
  ASSERT_TRUE(without && with);
  EXPECT_NEAR(with->f, without->f, 1e-9);
  EXPECT_NEAR(with->df_within, without->df_within, 1e-9);
}

TEST(AnalyseByWelch, IsWeakenedByErrorsThatDifferBetweenGroups) {
  const auto without = AnalyseByWelch(ThreeGroups());
  const auto with = AnalyseByWelch(ThreeGroups(), {1, 0, 0, 0, 2, 0, 0, 0, 1});
  ASSERT_TRUE(without && with);
  EXPECT_LT(with->f, 0.5 * without->f);
  EXPECT_GT(with->p, without->p);
  EXPECT_GT(with->df_within, without->df_within);  // less of the variance is estimated
}

// Known errors that dwarf the scatter leave a chi-square test. By hand: means 0, 1, 2 of variance 0.5 each.
TEST(AnalyseByWelch, BecomesTheChiSquareTestOfKnownVariances) {
  std::vector<GroupMean> groups(3);
  for (std::size_t i = 0; i < 3; ++i) groups[i] = {3, static_cast<double>(i), 1e-9, 1e-4};
  const auto welch = AnalyseByWelch(groups, {0.5, 0, 0, 0, 0.5, 0, 0, 0, 0.5});
  ASSERT_TRUE(welch);
  EXPECT_NEAR(welch->f, 2.0 / 0.5 / 2, 1e-6);
  EXPECT_NEAR(welch->p, ChiSquareTail(4, 2), 1e-6);
}

TEST(AnalyseByWelch, BearsOneGroupWithoutSpread) {
  std::vector<GroupMean> groups = ThreeGroups();
  groups[1] = PlainMean({4.5, 4.5, 4.5});
  const auto without = AnalyseByWelch(groups);
  groups[1].variance_of_mean = 1e-9;
  const auto nearly = AnalyseByWelch(groups);
  ASSERT_TRUE(without && nearly);
  EXPECT_NEAR(without->f / nearly->f, 1, 1e-5);
  EXPECT_NEAR(without->df_within / nearly->df_within, 1, 1e-5);
}

TEST(AnalyseByWelch, KeepsItsDigitsOnVeryUnequalSpreads) {
  std::vector<GroupMean> groups(3);
  groups[0] = {4, 0.0, 1e-10, 2e-5};
  groups[1] = {4, 1.0, 1.0, 2.0};
  groups[2] = {4, 2e4, 1e8, 2e4};
  const auto welch = AnalyseByWelch(groups);
  ASSERT_TRUE(welch);
  // By hand: the first mean is as good as known, so that squares are 1 + 4, shares 0, 1, 1.
  EXPECT_NEAR(welch->f, 5.0 / 2 / (1 + 2.0 / 8 * 2 / 3), 1e-6);
}

TEST(AnalyseByWelch, SaysNothingWhereItCannot) {
  EXPECT_FALSE(AnalyseByWelch({}));
  EXPECT_FALSE(AnalyseByWelch({PlainMean({1, 2})}));
  EXPECT_FALSE(AnalyseByWelch({PlainMean({1, 2}), PlainMean({3})}));
  EXPECT_FALSE(AnalyseByWelch({PlainMean({1, 1}), PlainMean({3, 3})}));
  EXPECT_FALSE(AnalyseByWelch({PlainMean({1, 1}), PlainMean({3, 3}), PlainMean({3, 4})}));
  EXPECT_THROW(AnalyseByWelch(ThreeGroups(), {1, 2}), std::invalid_argument);
}

}  // namespace
}  // namespace loftline
