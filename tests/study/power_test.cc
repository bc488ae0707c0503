// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/power.h"

#include "study/difference.h"

#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(TwoSamplePower, GrowsWithCountAndDifference) {
  EXPECT_LT(TwoSamplePower(5, 1, 1), TwoSamplePower(6, 1, 1));
  EXPECT_LT(TwoSamplePower(5, 1, 1), TwoSamplePower(5, 1.1, 1));
  EXPECT_DOUBLE_EQ(TwoSamplePower(5, -1, 1), TwoSamplePower(5, 1, 1));
  EXPECT_DOUBLE_EQ(TwoSamplePower(5, 3, 3), TwoSamplePower(5, 1, 1));
  EXPECT_LT(TwoSamplePower(5, 1, 1, 0.01), TwoSamplePower(5, 1, 1, 0.05));
}

TEST(TwoSamplePower, BearsExtremes) {
  EXPECT_DOUBLE_EQ(TwoSamplePower(5, 0, 1), 0.025);
  EXPECT_DOUBLE_EQ(TwoSamplePower(5, 0, 0), 0.025);
  EXPECT_EQ(TwoSamplePower(5, 1, 0), 1);
  EXPECT_EQ(TwoSamplePower(5, 1e6, 1), 1);
  EXPECT_NEAR(TwoSamplePower(1e5, 0.01, 1), 0.6088, 1e-3);  // normal: 1 - Phi(1.96 - 0.01 sqrt(5e4))
}

TEST(CountForPower, IsWherePowerReachesWhatIsAsked) {
  for (const double difference : {0.3, 1.0, 4.0}) {
    for (const double power : {0.5, 0.8, 0.95}) {
      const double count = CountForPower(power, difference, 1);
      EXPECT_GE(TwoSamplePower(count, difference, 1), power - 1e-7) << difference;
      if (count > 2) {
        EXPECT_LE(TwoSamplePower(count, difference, 1), power + 1e-7) << difference;
      }
    }
  }
}

TEST(CountForPower, BearsExtremes) {
  EXPECT_TRUE(std::isinf(CountForPower(0.8, 0, 1)));
  EXPECT_TRUE(std::isinf(CountForPower(0.8, 1e-9, 1)));
  EXPECT_EQ(CountForPower(0.8, 1, 0), 2);
  EXPECT_EQ(CountForPower(0.8, 1000, 1), 2);
}

TEST(Power, RefusesWhatCannotBe) {
  const double nan = std::nan("");
  EXPECT_THROW(TwoSamplePower(1.9, 1, 1), std::invalid_argument);
  EXPECT_THROW(TwoSamplePower(nan, 1, 1), std::invalid_argument);
  EXPECT_THROW(TwoSamplePower(5, 1, -1), std::invalid_argument);
  EXPECT_THROW(TwoSamplePower(5, nan, 1), std::invalid_argument);
  EXPECT_THROW(TwoSamplePower(5, 1, 1, 0), std::invalid_argument);
  EXPECT_THROW(CountForPower(0, 1, 1), std::invalid_argument);
  EXPECT_THROW(CountForPower(1, 1, 1), std::invalid_argument);
}

// What is promised for a true difference of two spreads at five launches is what Welch's test then finds: 79.1 % of
// 4000, give or take 0.64 %; four times that is allowed, and 1 % for Welch's estimated degrees of freedom.
TEST(TwoSamplePower, IsWhatTheTestFinds) {
  std::mt19937_64 random(81003);
  std::normal_distribution<double> normal;
  int found = 0;
  constexpr int kTimes = 4000;
  for (int i = 0; i < kTimes; ++i) {
    std::vector<double> one, other;
    for (int j = 0; j < 5; ++j) {
      one.push_back(normal(random));
      other.push_back(2 + normal(random));
    }
    found += Compare(PlainMean(one), PlainMean(other))->difference.low_95 > 0 ? 1 : 0;
  }
  EXPECT_NEAR(found / static_cast<double>(kTimes), TwoSamplePower(5, 2, 1), 4 * 0.0064 + 0.01);
}

}  // namespace
}  // namespace loftline
