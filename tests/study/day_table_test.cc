// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/day_table.h"

#include "tests/core/temporary_folder.h"

#include <string>

#include <gmock/gmock.h>

namespace loftline {
namespace {

using testing::HasSubstr;

constexpr const char* kSurvey = R"({"format": "loftline.survey", "format_version": 1,
  "image": {"width_px": 640, "height_px": 360},
  "marks": [{"kind": "baseline", "from_px": [100, 300], "to_px": [500, 300], "length_m": 10, "lies": "level"}]})";
constexpr const char* kHeader = "clip,survey,design,launch,mass_g,diameter_mm,nose,skip,tape_range_m\n";

class DayTableFile : public testing::Test {
 protected:
  DayTableFile() {
    folder_.Write("flat.survey.json", kSurvey);
    for (const char* clip : {"a.mp4", "b.mp4", "c.mp4"}) folder_.Write(clip, clip);
  }
  DayTableReading Read(const std::string& rows) {
    const Expected<DayTableReading> reading = ReadDayTable(folder_.Write("day.csv", kHeader + rows));
    EXPECT_TRUE(reading) << (reading ? "" : Describe(reading.error()));
    return reading ? *reading : DayTableReading{};
  }
  // The only problem of a table with this row.
  Error Problem(const std::string& row) {
    const DayTableReading reading = Read(row);
    EXPECT_EQ(reading.problems.size(), 1U) << row;
    return reading.problems.empty() ? Error{} : reading.problems.front();
  }
  TemporaryFolder folder_;
};

TEST_F(DayTableFile, IsReadWithItsDesignVariables) {
  const DayTableReading reading = Read("a.mp4,flat.survey.json,Heron,1,6.58,24.06,ogive,,19.9\n");
  ASSERT_TRUE(reading.problems.empty()) << Describe(reading.problems.front());
  EXPECT_THAT(reading.table.variables, testing::ElementsAre("nose"));
  const DayRow& row = reading.table.rows.at(0);
  EXPECT_EQ(row.line, 2);
  EXPECT_EQ(row.design, "Heron");
  EXPECT_DOUBLE_EQ(row.mass_kg->value, 0.00658);
  EXPECT_NEAR(row.mass_kg->std, 0.0000658, 1e-12);  // 1 %, as nobody said
  EXPECT_DOUBLE_EQ(row.diameter_m->value, 0.02406);
  EXPECT_THAT(row.variables, testing::ElementsAre("ogive"));
  EXPECT_DOUBLE_EQ(row.tape_range_m->value, 19.9);
  EXPECT_EQ(row.clip_path, folder_.path() / "a.mp4");
}

TEST_F(DayTableFile, TellsEveryBadCellAtOnce) {
  const DayTableReading reading = Read(
      "a.mp4,flat.survey.json,Heron,1,heavy,24,ogive,,\n"
      "gone.mp4,flat.survey.json,,2,6.5,240000,ogive,,\n"
      "c.mp4,other.survey.json,Heron,3,6.5,24,ogive,perhaps,-3\n");
  std::string told;
  for (const Error& problem : reading.problems) told += Describe(problem) + "\n";
  EXPECT_EQ(reading.problems.size(), 7U) << told;
  EXPECT_THAT(told, HasSubstr(":2: mass_g: \"heavy\""));
  EXPECT_THAT(told, HasSubstr(":3: diameter_mm: 240000 mm cannot be. It must be from 1 to 500 mm."));
  EXPECT_THAT(told, HasSubstr(":3: clip: There is no file \"gone.mp4\"."));
  EXPECT_THAT(told, HasSubstr(":3: design:"));
  EXPECT_THAT(told, HasSubstr(":4: survey: \"other.survey.json\""));
  EXPECT_THAT(told, HasSubstr(":4: skip: \"perhaps\""));
  EXPECT_THAT(told, HasSubstr(":4: tape_range_m: -3 m"));
}

TEST_F(DayTableFile, TakesNoLaunchAndNoClipTwice) {
  const std::string first = "a.mp4,flat.survey.json,Heron,1,6.5,24,ogive,,\n";
  const DayTableReading reading = Read(first + "./a.mp4,flat.survey.json,Heron,1,6.5,24,ogive,,\n");
  ASSERT_EQ(reading.problems.size(), 2U);
  EXPECT_THAT(Describe(reading.problems[0]), HasSubstr("Launch \"1\" of \"Heron\" stands in line 2 already"));
  EXPECT_THAT(Describe(reading.problems[1]), HasSubstr("The clip \"./a.mp4\" stands in line 2 already"));
  EXPECT_TRUE(Read(first + "b.mp4,flat.survey.json,Puffin,1,6.5,24,blunt,,\n").problems.empty());
}

TEST_F(DayTableFile, ASkippedRowMayLackEverything) {
  const DayTableReading reading = Read("a.mp4,flat.survey.json,Heron,1,6.5,24,ogive,,\n,,Heron,2,,,ogive,yes,\n");
  EXPECT_TRUE(reading.problems.empty());
  EXPECT_FALSE(reading.table.rows.at(0).skip);
  EXPECT_TRUE(reading.table.rows.at(1).skip);
}

TEST_F(DayTableFile, AMassMayBeMissingEverywhereButNotHere) {
  const std::string one = "a.mp4,flat.survey.json,Heron,1,,24,ogive,,\n";
  const DayTableReading nowhere = Read(one);
  EXPECT_TRUE(nowhere.problems.empty());
  EXPECT_FALSE(nowhere.table.rows.at(0).mass_kg.has_value());
  EXPECT_THAT(Describe(Problem(one + "b.mp4,flat.survey.json,Heron,2,6.5,24,ogive,,\n")),
              HasSubstr(":2: mass_g: A number is missing."));
}

TEST_F(DayTableFile, ASurveyThatCannotBeReadIsABadCell) {
  folder_.Write("bad.survey.json", R"({"format": "loftline.survey", "format_version": 1})");
  const Error problem = Problem("a.mp4,bad.survey.json,Heron,1,6.5,24,ogive,,\n");
  EXPECT_EQ(problem.key, "survey");
  EXPECT_THAT(problem.message, HasSubstr("\"bad.survey.json\""));
  EXPECT_THAT(problem.message, HasSubstr("image"));
}

TEST(DayTable, AColumnThatIsNearlyAKnownOneIsASlip) {
  const TemporaryFolder folder;
  folder.Write("flat.survey.json", kSurvey);
  folder.Write("a.mp4", "a");
  const Expected<DayTableReading> reading =
      ReadDayTable(folder.Write("day.csv",
                                "clip,survey,design,launch,mass_g,diameter_mm,tape_rnage_m\n"
                                "a.mp4,flat.survey.json,Heron,1,6.5,24,19\n"));
  ASSERT_TRUE(reading);
  ASSERT_EQ(reading->problems.size(), 1U);
  EXPECT_THAT(Describe(reading->problems[0]), HasSubstr("\"tape_rnage_m\" is nearly \"tape_range_m\""));
}

TEST(DayTable, WithoutACompulsoryColumnIsNoTable) {
  const TemporaryFolder folder;
  const Expected<DayTableReading> reading = ReadDayTable(folder.Write("day.csv", "clip,survey\na,b\n"));
  ASSERT_FALSE(reading);
  EXPECT_EQ(reading.error().code, "missing-column");
}

TEST(DayTable, OfASpreadsheetWithDecimalCommasIsRead) {
  const TemporaryFolder folder;
  folder.Write("flat.survey.json", kSurvey);
  folder.Write("a.mp4", "a");
  const Expected<DayTableReading> reading = ReadDayTable(folder.Write("day.csv",
                                                                      "clip;survey;design;launch;mass_g;diameter_mm\r\n"
                                                                      "a.mp4;flat.survey.json;Heron;1;6,58;24,1\r\n"));
  ASSERT_TRUE(reading);
  ASSERT_TRUE(reading->problems.empty());
  EXPECT_DOUBLE_EQ(reading->table.rows.at(0).mass_kg->value, 0.00658);
}

}  // namespace
}  // namespace loftline
