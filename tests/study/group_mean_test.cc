// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/group_mean.h"

#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

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

void ExpectSame(const GroupMean& one, const GroupMean& other) {
  EXPECT_EQ(one.count, other.count);
  EXPECT_NEAR(one.mean, other.mean, 1e-13 * std::abs(other.mean));
  EXPECT_NEAR(one.variance_of_mean, other.variance_of_mean, 1e-12 * other.variance_of_mean);
  EXPECT_NEAR(one.spread, other.spread, 1e-12 * other.spread);
}

// Whether the uncertainties explain the scatter (large ones) or not (small ones, none).
TEST(WeightedMean, OfEqualStdsIsThePlainMean) {
  const std::vector<double> plain = {41.3, 38.9, 40.2, 44.8, 40.9};
  for (const double std : {0.0, 1e-9, 0.4, 2.2, 30.0, 1e6}) {
    std::vector<Measured> values;
    values.reserve(plain.size());
    for (const double value : plain) values.push_back({value, std});
    ExpectSame(WeightedMean(values), PlainMean(plain));
  }
  ExpectSame(WeightedMean({{3.0, 0.1}, {3.7, 0.1}}), PlainMean({3.0, 3.7}));
}

TEST(WeightedMean, OfFewerThanTwoIsThatOfPlainMean) {
  EXPECT_EQ(WeightedMean({}).count, 0U);
  const GroupMean one = WeightedMean({{2.0, 0.3}});
  EXPECT_EQ(one.count, 1U);
  EXPECT_EQ(one.mean, 2.0);
  EXPECT_EQ(one.variance_of_mean, 0.0);
}

// By hand: where the stds explain more than the scatter, the weights are 1/std^2 alone: 4 and 1.
TEST(WeightedMean, WeighsByTheStdsWhereTheyExplainTheScatter) {
  const GroupMean group = WeightedMean({{10.0, 0.5}, {10.5, 1.0}});
  EXPECT_DOUBLE_EQ(group.mean, 10.1);
  EXPECT_EQ(group.between, 0.0);
  EXPECT_NEAR(group.variance_of_mean, (4 * 0.01 + 1 * 0.16) / 1 / 5, 1e-15);
}

// By hand, two values d apart: (w1 w2 / (w1 + w2)) d^2 = 1, so that 2 tau^2 + s1^2 + s2^2 = d^2.
TEST(WeightedMean, FindsTheSpreadOfItsOwn) {
  const GroupMean group = WeightedMean({{0.0, 1.0}, {5.0, 2.0}});
  const double tau2 = (25.0 - 1.0 - 4.0) / 2;
  EXPECT_NEAR(group.mean, 5.0 * (tau2 + 1) / (2 * tau2 + 5), 1e-12);
  EXPECT_NEAR(group.spread, std::sqrt(tau2 + 1.5 * 1.5), 1e-12);
  EXPECT_NEAR(group.between, std::sqrt(tau2), 1e-12);
}

TEST(WeightedMean, HardlyListensToAFlightThatIsMuchWorse) {
  const GroupMean group = WeightedMean({{20.1, 0.1}, {19.9, 0.1}, {20.0, 0.1}, {35.0, 40.0}});
  EXPECT_NEAR(group.mean, 20.0, 1e-3);
  EXPECT_LT(group.variance_of_mean, 0.01);
}

TEST(WeightedMean, DoesNotDependOnUnitsOrPlace) {
  const std::vector<Measured> values = {{31.2, 0.3}, {28.4, 0.5}, {33.0, 0.4}, {30.1, 2.5}, {24.9, 4}};
  const GroupMean group = WeightedMean(values);
  for (const auto& [factor, shift] : {std::pair(1e-6, 0.0), std::pair(1e6, 0.0), std::pair(1.0, 1e4)}) {
    std::vector<Measured> other;
    other.reserve(values.size());
    for (const Measured& value : values) other.push_back({shift + factor * value.value, factor * value.std});
    const GroupMean moved = WeightedMean(other);
    EXPECT_NEAR((moved.mean - shift) / factor, group.mean, 1e-9);
    EXPECT_NEAR(moved.variance_of_mean / factor / factor, group.variance_of_mean, 1e-9);
    EXPECT_NEAR(moved.spread / factor, group.spread, 1e-9);
  }
}

TEST(WeightedMean, BearsZeroAndVeryUnequalStds) {
  for (const std::vector<Measured>& values : {std::vector<Measured>{{1, 0}, {2, 3}},
                                              {{1, 0}, {1, 0}, {1.5, 1}},
                                              {{1, 0}, {4, 0}, {1.5, 1}},
                                              {{1, 1e-12}, {2, 1e12}},
                                              {{1, 1e-300}, {1, 1e-300}, {5, 1}},
                                              {{7, 2}, {7, 0}, {7, 1}}}) {
    const GroupMean group = WeightedMean(values);
    EXPECT_TRUE(std::isfinite(group.mean) && group.mean >= 1 && group.mean <= 7) << group.mean;
    EXPECT_TRUE(std::isfinite(group.variance_of_mean) && group.variance_of_mean >= 0) << group.variance_of_mean;
    EXPECT_TRUE(std::isfinite(group.spread)) << group.spread;
  }
}

TEST(WeightedMean, OfEqualValuesHasNoSpread) {
  const GroupMean group = WeightedMean({{7, 2}, {7, 0.5}, {7, 1}});
  EXPECT_EQ(group.mean, 7.0);
  EXPECT_EQ(group.variance_of_mean, 0.0);
  EXPECT_EQ(group.spread, 0.0);
}

TEST(WeightedMean, RefusesWhatIsNoUncertainty) {
  const double infinity = std::numeric_limits<double>::infinity();
  EXPECT_THROW(WeightedMean({{1, 1}, {1, -1}}), std::invalid_argument);
  EXPECT_THROW(WeightedMean({{1, 1}, {1, std::nan("")}}), std::invalid_argument);
  EXPECT_THROW(WeightedMean({{1, 1}, {1, infinity}}), std::invalid_argument);
  EXPECT_THROW(WeightedMean({{1, 1}, {std::nan(""), 1}}), std::invalid_argument);
}

// Two thousand groups in which every other value is four times worse: the weights must pay, and the stated variance be
// that which the means have. 2000 groups fix a variance to 3.2 %; four times that is allowed.
TEST(WeightedMean, IsAsGoodAsItSaysAndBetterThanPlain) {
  std::mt19937_64 random(81001);
  std::normal_distribution<double> normal;
  double weighted_squares = 0, plain_squares = 0, stated = 0;
  constexpr int kGroups = 2000;
  for (int i = 0; i < kGroups; ++i) {
    std::vector<Measured> values;
    std::vector<double> plain;
    for (int j = 0; j < 10; ++j) {
      const double std = j % 2 == 0 ? 1.0 : 4.0;
      values.push_back({2.0 * normal(random) + std * normal(random), std});
      plain.push_back(values.back().value);
    }
    const GroupMean group = WeightedMean(values);
    weighted_squares += group.mean * group.mean / kGroups;
    stated += group.variance_of_mean / kGroups;
    plain_squares += PlainMean(plain).mean * PlainMean(plain).mean / kGroups;
  }
  EXPECT_NEAR(weighted_squares / stated, 1, 0.13);
  EXPECT_LT(weighted_squares, 0.8 * plain_squares);
}

}  // namespace
}  // namespace loftline
