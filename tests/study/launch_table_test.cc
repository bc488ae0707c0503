// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/launch_table.h"

#include "calibrate/survey_file.h"
#include "core/csv_file.h"
#include "study/day_table.h"
#include "tests/core/temporary_folder.h"
#include "tests/study/planned_surveys.h"

#include <algorithm>
#include <map>
#include <set>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;

std::vector<PlannedLaunch> Shuffled(const LaunchOrder& order) {
  const Expected<std::vector<PlannedLaunch>> launches = ShuffledLaunches(order);
  EXPECT_TRUE(launches) << Describe(launches.error());
  return launches ? *launches : std::vector<PlannedLaunch>{};
}

TEST(ShuffledLaunches, EveryRoundHasEveryDesignOnce) {
  const std::vector<PlannedLaunch> launches = Shuffled({{"Heron", "Curlew", "Puffin", "Sandpiper"}, 6, 7});
  ASSERT_EQ(launches.size(), 24U);
  std::map<int, std::set<std::string>> rounds;
  for (std::size_t i = 0; i < launches.size(); ++i) {
    EXPECT_EQ(launches[i].number, static_cast<int>(i) + 1);
    EXPECT_EQ(launches[i].round, static_cast<int>(i) / 4 + 1);
    EXPECT_TRUE(rounds[launches[i].round].insert(launches[i].design).second) << "twice in a round";
  }
  EXPECT_EQ(launches[0].clip, "launch-01.mp4");
  EXPECT_EQ(launches[23].clip, "launch-24.mp4");
}

TEST(ShuffledLaunches, IsSetByItsSeed) {
  const LaunchOrder order{{"A", "B", "C"}, 5, 7};
  const auto designs = [](const std::vector<PlannedLaunch>& launches) {
    std::vector<std::string> names;
    names.reserve(launches.size());
    for (const PlannedLaunch& launch : launches) names.push_back(launch.design);
    return names;
  };
  EXPECT_EQ(designs(Shuffled(order)), designs(Shuffled(order)));
  LaunchOrder other = order;
  other.seed = 8;
  EXPECT_NE(designs(Shuffled(order)), designs(Shuffled(other)));
}

// Over many seeds each of the six orders of a round must come about equally often: Pearson's chi-square with 5 degrees
// of freedom passes 20.5 once in a thousand times (any table of chi-square).
TEST(ShuffledLaunches, EveryOrderIsAsLikely) {
  std::map<std::string, int> counts;
  constexpr int kSeeds = 6000;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    std::string order;
    for (const PlannedLaunch& launch : Shuffled({{"A", "B", "C"}, 1, seed})) order += launch.design;
    ++counts[order];
  }
  ASSERT_EQ(counts.size(), 6U);
  double chi2 = 0.0;
  for (const auto& [order, count] : counts) chi2 += (count - 1000.0) * (count - 1000.0) / 1000.0;
  EXPECT_LT(chi2, 20.5);
}

TEST(ShuffledLaunches, NumbersOfLongDaysAreEquallyLong) {
  const std::vector<PlannedLaunch> launches = Shuffled({{"A", "B"}, 60, 1});
  EXPECT_EQ(launches.front().clip, "launch-001.mp4");
  EXPECT_EQ(launches.back().clip, "launch-120.mp4");
}

TEST(ShuffledLaunches, RefusesWhatMakesNoTable) {
  const auto key = [](const LaunchOrder& order) {
    const Expected<std::vector<PlannedLaunch>> launches = ShuffledLaunches(order);
    return launches ? std::string("taken") : launches.error().key;
  };
  EXPECT_EQ(key({{}, 5}), "--designs");
  EXPECT_EQ(key({{"A", ""}, 5}), "--designs");
  EXPECT_EQ(key({{"A", "B", "A"}, 5}), "--designs");
  EXPECT_EQ(key({{"Heron", "heron"}, 5}), "--designs");
  EXPECT_EQ(key({{"A\nB"}, 5}), "--designs");
  EXPECT_EQ(key({{std::string(200, 'x')}, 5}), "--designs");
  EXPECT_EQ(key({{"A", "B"}, 0}), "--launches");
  EXPECT_EQ(key({{"A", "B"}, 100000}), "--launches");
  EXPECT_EQ(key({{"A", "B"}, 3}), "taken");
}

TEST(LaunchTableAsCsv, ReadsBackAsWritten) {
  const std::vector<PlannedLaunch> launches = Shuffled({{"Heron, long", "the \"old\" Puffin"}, 2, 1});
  const Expected<CsvTable> table =
      ParseCsv(LaunchTableAsCsv(launches, "my, field.survey.json"), "day.csv", {{}, {}, true});
  ASSERT_TRUE(table) << Describe(table.error());
  EXPECT_THAT(
      table->columns,
      ElementsAre("clip", "survey", "design", "launch", "mass_g", "diameter_mm", "tape_range_m", "skip", "note"));
  ASSERT_EQ(table->rows.size(), 4U);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(table->Cell(table->rows[i], "design"), launches[i].design);
    EXPECT_EQ(table->Cell(table->rows[i], "survey"), "my, field.survey.json");
    EXPECT_EQ(table->Cell(table->rows[i], "launch"), std::to_string(i + 1));
    EXPECT_EQ(table->Cell(table->rows[i], "mass_g"), "");
  }
}

// Filled in with nothing but the clips, it is a day table.
TEST(LaunchTableAsCsv, IsADayTable) {
  const TemporaryFolder folder;
  const Status survey = WriteSurvey(folder.path() / "field.survey.json", test::CarefulSurvey());
  ASSERT_TRUE(survey) << Describe(survey.error());
  const std::vector<PlannedLaunch> launches = Shuffled({{"Heron", "Puffin, long"}, 3, 1});
  for (const PlannedLaunch& launch : launches) folder.Write(launch.clip, launch.clip);
  const Expected<DayTableReading> reading =
      ReadDayTable(folder.Write("day.csv", LaunchTableAsCsv(launches, "field.survey.json")));
  ASSERT_TRUE(reading) << Describe(reading.error());
  for (const Error& problem : reading->problems) ADD_FAILURE() << Describe(problem);
  EXPECT_TRUE(reading->table.variables.empty());
  ASSERT_EQ(reading->table.rows.size(), 6U);
  EXPECT_EQ(reading->table.rows[3].design, launches[3].design);
}

TEST(DesignNames, TakesQuotedNames) {
  EXPECT_THAT(*DesignNames("Heron, Curlew ,Puffin"), ElementsAre("Heron", "Curlew", "Puffin"));
  EXPECT_THAT(*DesignNames(R"("Heron, long",Curlew)"), ElementsAre("Heron, long", "Curlew"));
  EXPECT_THAT(*DesignNames(R"(Curlew, "the ""old"" one" )"), ElementsAre("Curlew", "the \"old\" one"));
  EXPECT_THAT(*DesignNames("A,,B"), ElementsAre("A", "", "B"));
  EXPECT_THAT(*DesignNames(""), ElementsAre(""));
  EXPECT_FALSE(DesignNames("\"Heron, Curlew"));
}

}  // namespace
}  // namespace loftline
