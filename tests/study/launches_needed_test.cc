// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/launches_needed.h"

#include "study/power.h"

#include <cmath>
#include <random>

#include <gmock/gmock.h>
#include <gsl/gsl_cdf.h>

namespace loftline {
namespace {

using testing::HasSubstr;

// Designs with these means, spreads and counts of one quantity.
Comparison DayOf(const std::vector<GroupMean>& means, const std::string& unit = "m") {
  Comparison comparison;
  ComparedQuantity quantity;
  quantity.key = "standard_range_m";
  quantity.label = "Range at the standard launch";
  quantity.unit = unit;
  quantity.means = means;
  comparison.quantities.push_back(quantity);
  for (std::size_t i = 0; i < means.size(); ++i) {
    comparison.designs.push_back({"design " + std::to_string(i + 1), {}, static_cast<int>(means[i].count), 0});
  }
  return comparison;
}

GroupMean Group(std::size_t count, double mean, double spread) {
  return {count, mean, spread * spread / static_cast<double>(count), spread};
}

LaunchesRequest Telling(double difference, double power = 0.8) {
  LaunchesRequest request;
  request.difference = difference;
  request.power = power;
  return request;
}

LaunchesNeeded Counted(const Comparison& comparison, const LaunchesRequest& request) {
  const Expected<LaunchesNeeded> needed = CountLaunches(comparison, request);
  EXPECT_TRUE(needed) << Describe(needed.error());
  return needed ? *needed : LaunchesNeeded{};
}

// The GNU Scientific Library has its own chi-square distribution.
TEST(SpreadInterval, AgreesWithGsl) {
  for (const double dof : {1.0, 2.0, 4.0, 9.0, 12.0, 30.0, 99.0}) {
    const SpreadInterval interval = SpreadInterval95(dof);
    EXPECT_NEAR(interval.low_factor, std::sqrt(dof / gsl_cdf_chisq_Pinv(0.975, dof)), 1e-9) << dof;
    EXPECT_NEAR(interval.high_factor, std::sqrt(dof / gsl_cdf_chisq_Pinv(0.025, dof)), 1e-7 * interval.high_factor)
        << dof;
  }
}

// Of many spreads from five values each, 95 % of the intervals must hold the true one. 0.7 %: three standard deviations
// of a share of 0.95 among 10000.
TEST(SpreadInterval, HoldsTheTruthAsOftenAsItSays) {
  std::mt19937_64 random(81001);
  std::normal_distribution<double> normal;
  int held = 0;
  constexpr int kRuns = 10000;
  const SpreadInterval interval = SpreadInterval95(4.0);
  for (int run = 0; run < kRuns; ++run) {
    std::vector<double> values(5);
    for (double& value : values) value = normal(random);
    const double spread = PlainMean(values).spread;
    held += interval.low_factor * spread < 1.0 && 1.0 < interval.high_factor * spread ? 1 : 0;
  }
  EXPECT_NEAR(static_cast<double>(held) / kRuns, 0.95, 0.007);
}

// Two groups are Student's test. For three, the 5 % point of the studentized range (R's qtukey: 3.8768 with 10 degrees
// of freedom, 3.3145 with infinitely many) over the square root of two is Student's t of one pair; its tails by GSL.
TEST(PairAlpha, IsAsStrictAsAllPairsTogether) {
  EXPECT_EQ(PairAlpha(2, 10.0), 0.05);
  EXPECT_EQ(PairAlpha(1, 10.0), 0.05);
  EXPECT_NEAR(PairAlpha(3, 10.0), 2.0 * gsl_cdf_tdist_Q(3.8768 / std::sqrt(2.0), 10.0), 2e-6);
  EXPECT_NEAR(PairAlpha(3, 1e7), 2.0 * gsl_cdf_ugaussian_Q(3.3145 / std::sqrt(2.0)), 5e-6);
}

// R's documentation example: power.t.test(power = .90, delta = 1) prints n = 22.02110 for a standard deviation of one.
TEST(CountLaunches, AgreesWithPowerOfT) {
  const LaunchesNeeded needed = Counted(DayOf({Group(6, 20.0, 1.0), Group(6, 21.0, 1.0)}), Telling(1.0, 0.9));
  EXPECT_DOUBLE_EQ(needed.spread, 1.0);
  EXPECT_EQ(needed.dof, 10);
  EXPECT_EQ(needed.launches_each, 23);
  EXPECT_EQ(needed.designs.at(0).more_needed, 17);
  EXPECT_LT(*needed.low_each, 23);
  EXPECT_GT(*needed.high_each, 23);
}

TEST(CountLaunches, PoolsTheSpreadsByTheirFreedoms) {
  // sqrt((2 x 1 + 6 x 4) / 8), by hand; a design with one flight says nothing of the spread.
  const LaunchesNeeded needed =
      Counted(DayOf({Group(3, 20.0, 1.0), Group(7, 26.0, 2.0), Group(1, 23.0, 0.0)}), Telling(3.0));
  EXPECT_DOUBLE_EQ(needed.spread, std::sqrt(26.0 / 8.0));
  EXPECT_EQ(needed.dof, 8);
  EXPECT_DOUBLE_EQ(needed.mean, 23.0);
  EXPECT_EQ(needed.designs.at(2).used, 1U);
}

TEST(CountLaunches, TakesShares) {
  LaunchesRequest request = Telling(0.1);
  request.relative = true;
  const Comparison day = DayOf({Group(5, 18.0, 1.0), Group(5, 22.0, 1.0)});
  const LaunchesNeeded by_share = Counted(day, request), by_metres = Counted(day, Telling(2.0));
  EXPECT_DOUBLE_EQ(by_share.difference, 2.0);
  EXPECT_EQ(by_share.launches_each, by_metres.launches_each);
  EXPECT_THAT(by_share.sentence, HasSubstr("a difference of 10 % (2 m) in range at the standard launch"));
}

// What was promised must come about: days of so many launches of three designs, two alike and one apart, judged as
// `compare` judges (Games and Howell). 0.04: three standard deviations of a share of 0.8 among 900.
TEST(CountLaunches, DaysOfThatSizeTellTheDifference) {
  const double difference = 1.5;
  const LaunchesNeeded needed =
      Counted(DayOf({Group(40, 20.0, 1.0), Group(40, 20.0, 1.0), Group(40, 20.0, 1.0)}), Telling(difference));
  ASSERT_TRUE(needed.launches_each);
  std::mt19937_64 random(81002);
  std::normal_distribution<double> normal;
  constexpr int kDays = 900;
  int told = 0;
  for (int day = 0; day < kDays; ++day) {
    std::vector<double> one, other;
    for (int i = 0; i < *needed.launches_each; ++i) {
      one.push_back(normal(random));
      other.push_back(difference + normal(random));
    }
    const std::optional<Difference> found = Compare(PlainMean(one), PlainMean(other), 3);
    told += found && found->difference.low_95 > 0.0 ? 1 : 0;
  }
  // Whole launches give a little more than was asked for.
  EXPECT_GT(static_cast<double>(told) / kDays, 0.8 - 0.04);
  EXPECT_LT(static_cast<double>(told) / kDays, 0.9);
}

TEST(CountLaunches, SaysWhenNoDayIsLongEnough) {
  const LaunchesNeeded needed = Counted(DayOf({Group(3, 20.0, 5.0), Group(3, 20.0, 5.0)}), Telling(0.1));
  EXPECT_FALSE(needed.launches_each);
  EXPECT_FALSE(needed.designs.at(0).more_needed);
  EXPECT_THAT(needed.sentence, HasSubstr("It would take more than 1000 launches"));
}

TEST(CountLaunches, EnoughIsEnough) {
  const LaunchesNeeded needed = Counted(DayOf({Group(9, 20.0, 0.2), Group(4, 25.0, 0.2)}), Telling(2.0));
  for (const LaunchesNeeded::Design& design : needed.designs) EXPECT_EQ(design.more_needed, 0);
}

TEST(CountLaunches, RefusesWhatCannotBe) {
  const Comparison day = DayOf({Group(5, 20.0, 1.0), Group(5, 21.0, 1.0)});
  const auto code = [](const Comparison& comparison, const LaunchesRequest& request) {
    const Expected<LaunchesNeeded> needed = CountLaunches(comparison, request);
    return needed ? std::string("taken") : needed.error().code + " " + needed.error().key;
  };
  EXPECT_EQ(code(day, Telling(0.0)), "bad-value --difference");
  EXPECT_EQ(code(day, Telling(-2.0)), "bad-value --difference");
  EXPECT_EQ(code(day, Telling(2.0, 1.0)), "bad-value --power");
  EXPECT_EQ(code(day, Telling(2.0, 0.0)), "bad-value --power");
  LaunchesRequest unknown = Telling(2.0);
  unknown.quantity = "standard_rang_m";
  EXPECT_EQ(code(day, unknown), "bad-value --quantity");
  EXPECT_THAT(CountLaunches(day, unknown).error().message, HasSubstr("Did you mean standard_range_m?"));
  EXPECT_EQ(code(DayOf({Group(1, 20.0, 0.0), Group(1, 21.0, 0.0)}), Telling(2.0)), "spread-unknown ");
  EXPECT_EQ(code(DayOf({Group(4, 20.0, 0.0), Group(4, 21.0, 0.0)}), Telling(2.0)), "spread-unknown ");
}

}  // namespace
}  // namespace loftline
