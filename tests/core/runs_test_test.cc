// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/runs_test.h"

#include "core/csv_file.h"

#include <cmath>
#include <stdexcept>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.13, on LEW.DAT: the handbook prints Z = 2.6938 for the 200
// deflections about their median, -162. 120 runs where 101 are expected; further digits recomputed in double precision.
TEST(RunsTest, AgreesWithTheNistHandbook) {
  const auto table =
      ReadCsv(LOFTLINE_SOURCE_DIR "/tests/references/data/nist_handbook_LEW.csv", CsvRules{{"deflection"}, {}, false});
  ASSERT_TRUE(table) << Describe(table.error());
  std::vector<double> deflections;
  for (const CsvRow& row : table->rows) deflections.push_back(*table->Number(row, "deflection"));
  const RunsTest test = TestRuns(deflections, -162);
  EXPECT_EQ(test.above, 100);
  EXPECT_EQ(test.below, 100);
  EXPECT_EQ(test.runs, 120);
  EXPECT_NEAR(test.expected_runs, 101, 1e-12);
  EXPECT_NEAR(test.std_runs, 7.0532789, 1e-7);
  EXPECT_NEAR(test.z, 2.6938, 5e-5);
  EXPECT_NEAR(test.p_two_sided, 0.0070646, 1e-7);
  EXPECT_NEAR(test.p_too_few, 1 - 0.0070646 / 2, 1e-7);
}

struct CountCase {
  int above, below;
  double arrangements;
  std::vector<double> at_most;  // arrangements of at most 2, 3, 4 ... runs
};

// Swed & Eisenhart, Ann. Math. Statist. 14 (1943) 66, tabulate these shares; the counts are exact integers.
TEST(RunsTest, CountsArrangementsOfFewValues) {
  const CountCase cases[] = {{5, 5, 252, {2, 10, 42, 90, 162}},
                             {10, 10, 184756, {2, 20, 182, 830, 3422, 9470, 23582}},
                             {8, 12, 125970, {2, 20, 174, 790, 3100, 8490, 20040}}};
  for (const CountCase& one : cases) {
    for (std::size_t i = 0; i < one.at_most.size(); ++i) {
      const RunsTest test = TestRunCounts(one.above, one.below, static_cast<int>(i) + 2);
      EXPECT_NEAR(test.p_too_few * one.arrangements, one.at_most[i], 1e-6) << one.above << ", " << i + 2 << " runs";
    }
  }
  EXPECT_NEAR(TestRunCounts(10, 10, 6).std_runs, std::sqrt(4.7368421), 1e-7);
}

// The lower 2.5 % critical value of Swed and Eisenhart for 10 and 10, and for 8 and 12, is 6.
TEST(RunsTest, HasTheTablesCriticalValues) {
  EXPECT_LT(TestRunCounts(10, 10, 6).p_too_few, 0.025);
  EXPECT_GT(TestRunCounts(10, 10, 7).p_too_few, 0.025);
  EXPECT_LT(TestRunCounts(8, 12, 6).p_too_few, 0.025);
  EXPECT_GT(TestRunCounts(8, 12, 7).p_too_few, 0.025);
}

TEST(RunsTest, CallsTooManyRunsAsOddAsTooFew) {
  const RunsTest few = TestRunCounts(10, 10, 2), many = TestRunCounts(10, 10, 20);
  EXPECT_NEAR(few.p_two_sided, 4.0 / 184756, 1e-12);
  EXPECT_NEAR(many.p_two_sided, 4.0 / 184756, 1e-12);
  EXPECT_NEAR(many.p_too_few, 1.0, 1e-12);
  EXPECT_NEAR(TestRunCounts(10, 10, 11).p_two_sided, 1.0, 1e-12);
}

// Where counting gives way to the normal distribution both say much the same: within half a run's probability, which
// near the middle is 0.4 standard runs, so 0.03 at these tails.
TEST(RunsTest, GoesOverToTheNormalDistribution) {
  const RunsTest counted = TestRunCounts(20, 20, 15), normal = TestRunCounts(21, 21, 16);
  EXPECT_NEAR(counted.p_too_few, normal.p_too_few, 0.03);
}

TEST(RunsTest, LeavesOutWhatLiesOnTheMiddle) {
  const RunsTest test = TestRuns({1, 0, 2, -1, 0, -3, 4});
  EXPECT_EQ(test.above, 3);
  EXPECT_EQ(test.below, 2);
  EXPECT_EQ(test.runs, 3);
}

TEST(RunsTest, SaysNothingOfOneSide) {
  EXPECT_EQ(TestRuns({1, 2, 3}).p_two_sided, 1.0);
  EXPECT_EQ(TestRuns({}).p_two_sided, 1.0);
  EXPECT_EQ(TestRuns({}).runs, 0);
}

TEST(RunsTest, RefusesImpossibleCounts) {
  EXPECT_THROW(TestRunCounts(3, 3, 1), std::invalid_argument);
  EXPECT_THROW(TestRunCounts(3, 3, 7), std::invalid_argument);
  EXPECT_THROW(TestRunCounts(5, 3, 8), std::invalid_argument);
  EXPECT_THROW(TestRunCounts(-1, 3, 2), std::invalid_argument);
  EXPECT_EQ(TestRunCounts(5, 3, 7).runs, 7);
}

}  // namespace
}  // namespace loftline
