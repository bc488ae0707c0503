// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/shared_mistakes.h"

#include "core/distributions.h"

#include <cmath>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;

TEST(SharedMean, WithoutSharedMistakesIsStudentsInterval) {
  const SharedMean mean = MeanWithSharedMistakes({{{2.0, 0.1}, {}}, {{4.0, 0.1}, {}}, {{9.0, 0.1}, {}}});
  ASSERT_TRUE(mean.estimate);
  EXPECT_NEAR(mean.estimate->value, 5.0, 1e-12);
  EXPECT_NEAR(mean.estimate->std, std::sqrt(13.0 / 3.0), 1e-12);  // (9 + 1 + 16) / 2 / 3, by hand
  // Student's 0.975 quantile with two degrees of freedom: sqrt(2) (2 p - 1) / sqrt(2 p (1 - p)) in closed form.
  const double quantile = 0.95 * std::sqrt(2.0) / std::sqrt(1.0 - 0.95 * 0.95);
  EXPECT_NEAR(mean.estimate->high_95, 5.0 + quantile * std::sqrt(13.0 / 3.0), 1e-9);
  // Two tails with two degrees of freedom: 1 - t / sqrt(2 + t^2).
  const double t = 5.0 / std::sqrt(13.0 / 3.0);
  EXPECT_NEAR(mean.p, 1.0 - t / std::sqrt(2.0 + t * t), 1e-9);
  EXPECT_NEAR(mean.mean.between, std::sqrt(13.0 - 0.01), 1e-9);
  EXPECT_DOUBLE_EQ(mean.own_std, 0.1);
}

// Two flights that agree to the last digit, all of whose uncertainty is one mistake: it is that of their mean as well.
TEST(SharedMean, KeepsAMistakeThatAllShare) {
  const SharedMean mean = MeanWithSharedMistakes({{{1.0, 0.5}, {{"survey", 0.5}}}, {{1.0, 0.5}, {{"survey", 0.5}}}});
  ASSERT_TRUE(mean.estimate);
  EXPECT_NEAR(mean.estimate->std, 0.5, 1e-12);
  EXPECT_NEAR(mean.estimate->high_95, 1.0 + 1.959964 * 0.5, 1e-6);  // infinite degrees of freedom
  EXPECT_EQ(mean.own_std, 0.0);
}

// Two surveys with two flights each: (0.5/2)^2 + (0.5/2)^2 in the mean, of which the scatter shows a part.
TEST(SharedMean, AveragesMistakesOfDifferentSurveys) {
  std::vector<SharedValue> values;
  for (const char* const survey : {"a", "a", "b", "b"}) values.push_back({{1.0, 0.5}, {{survey, 0.5}}});
  const double of_mean = 2 * 0.25 * 0.25, in_scatter = (4 * 0.25 - 4 * of_mean) / (3 * 4);
  EXPECT_NEAR(MeanWithSharedMistakes(values).estimate->std, std::sqrt(of_mean - in_scatter), 1e-12);
}

TEST(SharedMean, TakesAMistakeOfOneFlightForItsOwn) {
  const SharedMean alone = MeanWithSharedMistakes({{{1.0, 0.5}, {{"a", 0.4}}}, {{2.0, 0.5}, {{"b", 0.4}}}});
  const SharedMean none = MeanWithSharedMistakes({{{1.0, 0.5}, {}}, {{2.0, 0.5}, {}}});
  EXPECT_DOUBLE_EQ(alone.estimate->std, none.estimate->std);
  EXPECT_DOUBLE_EQ(alone.own_std, 0.5);
}

// Three flights that agree by chance: 1/sqrt(3) of each one's own uncertainty is left.
TEST(SharedMean, IsNoBetterKnownThanItsValuesSay) {
  const SharedMean mean = MeanWithSharedMistakes({{{1.0, 0.3}, {}}, {{1.001, 0.3}, {}}, {{0.999, 0.3}, {}}});
  EXPECT_NEAR(mean.estimate->std, 0.3 / std::sqrt(3.0), 1e-9);
  EXPECT_GT(mean.p, 0.02);
}

TEST(SharedMean, OfFewerThanTwoHasNoInterval) {
  EXPECT_FALSE(MeanWithSharedMistakes({}).estimate);
  EXPECT_FALSE(MeanWithSharedMistakes({{{1.0, 0.5}, {}}}).estimate);
  EXPECT_EQ(MeanWithSharedMistakes({{{1.0, 0.5}, {}}}).p, 1.0);
}

// Flights of three surveys and one simulator that errs as it says it may: the interval holds the truth, and an unbiased
// simulator is called biased, as often as is stated.
TEST(SharedMean, IntervalsHold) {
  constexpr int kRuns = 4000, kFlights = 9;
  std::mt19937_64 random(81002);
  std::normal_distribution<double> normal;
  int held = 0, called = 0;
  for (int run = 0; run < kRuns; ++run) {
    const double simulator = 0.2 * normal(random);
    const double surveys[] = {0.4 * normal(random), 0.4 * normal(random), 0.4 * normal(random)};
    std::vector<SharedValue> values;
    for (int i = 0; i < kFlights; ++i) {
      const double own_std = 0.2 + 0.1 * (i % 4), scatter = 0.3;
      const double error = simulator + surveys[i % 3] + std::hypot(own_std, scatter) * normal(random);
      const double std = std::sqrt(own_std * own_std + 0.4 * 0.4 + 0.2 * 0.2);
      values.push_back({{error, std}, {{"simulator", 0.2}, {"survey" + std::to_string(i % 3), 0.4}}});
    }
    const SharedMean mean = MeanWithSharedMistakes(values);
    held += mean.estimate->low_95 <= 0.0 && mean.estimate->high_95 >= 0.0 ? 1 : 0;
    called += mean.p < 0.05 ? 1 : 0;
  }
  // Three standard deviations of the binomial count are 1 %.
  EXPECT_NEAR(held / double{kRuns}, 0.95, 0.015);
  EXPECT_EQ(called, kRuns - held);
}

// By hand from the definition: 5 x 0.01, 4 x 0.02, 3 x 0.03, and never less than an earlier one.
TEST(Holm, MultipliesTheSmallestMost) {
  EXPECT_THAT(HolmAdjusted({0.02, 0.01, 0.03, 0.04, 0.05}),
              ElementsAre(DoubleNear(0.08, 1e-12),
                          DoubleNear(0.05, 1e-12),
                          DoubleNear(0.09, 1e-12),
                          DoubleNear(0.09, 1e-12),
                          DoubleNear(0.09, 1e-12)));
  EXPECT_THAT(HolmAdjusted({0.7, 0.6}), ElementsAre(1.0, 1.0));
  EXPECT_THAT(HolmAdjusted({}), ElementsAre());
}

}  // namespace
}  // namespace loftline
