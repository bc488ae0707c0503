// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_store.h"

#include "app/serve/day_problems.h"
#include "study/day_table.h"
#include "tests/serve/working_folder.h"

#include <thread>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

namespace fs = std::filesystem;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

class Days : public testing::Test {
 protected:
  StoredDay Make(const std::string& name) {
    const Expected<StoredDay> made = store_.Make(name);
    EXPECT_TRUE(made) << (made ? "" : Describe(made.error()));
    return made ? *made : StoredDay{};
  }
  static DayGrid GridOf(const std::vector<std::string>& first_cells) {
    DayGrid grid = NewDayGrid();
    grid.rows.push_back(first_cells);
    grid.rows.back().resize(grid.columns.size());
    return grid;
  }
  StoredDay Write(const StoredDay& from, const DayGrid& grid) {
    const Expected<StoredDay> written = store_.Write(from.name, from.revision, grid);
    EXPECT_TRUE(written) << (written ? "" : Describe(written.error()));
    return written ? *written : StoredDay{};
  }
  std::string TableText(const std::string& name) const { return BytesOf(store_.TableOf(name)); }

  FolderWithClips folder_;
  DayStore store_{&folder_.work()};
};

TEST_F(Days, AreMadeOnceAndListed) {
  Make("Ebbing Hollow");
  Make("Another");
  EXPECT_THAT(store_.Names(), ElementsAre("Another", "Ebbing Hollow"));
  EXPECT_EQ(store_.Make("Another").error().code, "day-exists");
  EXPECT_EQ(store_.Make("../Another").error().code, "bad-name");
  EXPECT_EQ(store_.Read("Third").error().code, "no-day");
  EXPECT_EQ(store_.Read("../days/Another").error().code, "no-day");
}

// The page names files as seen from the working folder, the table on disk as seen from where it lies.
TEST_F(Days, NameFilesInTheTableAsBatchNeedsThem) {
  const StoredDay day =
      Write(Make("Flats"), GridOf({"flat/heron-1.mp4", "field.survey.json", "Heron", "1", "8.2", "22"}));
  EXPECT_THAT(TableText("Flats"), HasSubstr("../../../flat/heron-1.mp4,../../../field.survey.json,Heron,1,8.2,22,,\n"));
  EXPECT_EQ(day.grid.rows[0][0], "flat/heron-1.mp4");
  const Expected<DayTableReading> table = ReadDayTable(store_.TableOf("Flats"));
  ASSERT_TRUE(table);
  EXPECT_TRUE(table->problems.empty());
  EXPECT_TRUE(fs::equivalent(table->table.rows.at(0).clip_path, folder_.files().path() / "flat/heron-1.mp4"));
}

TEST_F(Days, OfTwoTabsTheSecondIsToldAndNothingIsLost) {
  const StoredDay made = Make("Flats");
  const DayGrid first = GridOf({"flat/heron-1.mp4", "", "Heron", "1"});
  Write(made, first);
  const Expected<StoredDay> second = store_.Write("Flats", made.revision, GridOf({"", "", "Curlew", "9"}));
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, "changed-elsewhere");
  EXPECT_EQ(store_.Read("Flats")->grid, first);
}

TEST_F(Days, ASpreadsheetThatSavedInBetweenCountsAsAnotherTab) {
  const StoredDay made = Make("Flats");
  folder_.files().Write("loftline-work/days/Flats/day.csv",
                        "clip,survey,design,launch,mass_g,diameter_mm\n,,Puffin,1,,\n");
  EXPECT_EQ(store_.Write("Flats", made.revision, GridOf({})).error().code, "changed-elsewhere");
  EXPECT_EQ(store_.Read("Flats")->grid.rows[0][2], "Puffin");
}

TEST_F(Days, OfManyWritersAtOnceEachEitherWinsOrIsTold) {
  const StoredDay made = Make("Flats");
  std::atomic<int> won = 0, told = 0;
  {
    std::vector<std::jthread> writers;
    writers.reserve(8);
    for (int i = 0; i < 8; ++i) {
      writers.emplace_back([&, i] {
        const auto written = store_.Write("Flats", made.revision, GridOf({"", "", "Heron", fmt::format("{}", i)}));
        ++(written ? won : told);
      });
    }
  }
  EXPECT_EQ(won, 1);
  EXPECT_EQ(told, 7);
}

TEST_F(Days, NoNewCellLeadsOutOfTheWorkingFolder) {
  const StoredDay made = Make("Flats");
  fs::create_directory_symlink("/usr", folder_.files().path() / "out");
  for (const char* cell : {"../secret.mp4", "/etc/passwd", "flat/../../x", "out/lib/os-release", "..\\x"}) {
    const Expected<StoredDay> written = store_.Write("Flats", made.revision, GridOf({cell}));
    ASSERT_FALSE(written) << cell;
    EXPECT_EQ(written.error().code, "outside-folder") << cell;
    EXPECT_FALSE(store_.Write("Flats", made.revision, GridOf({"", cell}))) << cell;
  }
  EXPECT_THAT(store_.Read("Flats")->grid.rows, testing::IsEmpty());
}

// Whoever edits the table on this computer may name what lies elsewhere, and the page keeps it.
TEST_F(Days, KeepACellThatWasWrittenByHand) {
  const StoredDay made = Make("Flats");
  folder_.files().Write("loftline-work/days/Flats/day.csv",
                        "clip,survey,design,launch,mass_g,diameter_mm\n/media/card/x.mp4,,Puffin,1,,\n");
  const Expected<StoredDay> day = store_.Read("Flats");
  ASSERT_TRUE(day);
  EXPECT_EQ(day->grid.rows[0][0], "/media/card/x.mp4");
  DayGrid grid = day->grid;
  grid.rows[0][2] = "Heron";
  EXPECT_EQ(Write(*day, grid).grid.rows[0][0], "/media/card/x.mp4");
}

TEST_F(Days, TakeTheRowsOfATableFromElsewhere) {
  const StoredDay made = Make("Flats");
  const std::string csv =
      "clip,survey,design,launch,mass_g,diameter_mm,nose\n"
      "C:\\phone\\heron-1.mp4,../field.survey.json,Heron,1,8.2,22,ogive\n"
      "../../etc/curlew-2.mp4,field.survey.json,Curlew,2,8.2,22,cone\n";
  const Expected<StoredDay> day = store_.Import("Flats", made.revision, csv, false);
  ASSERT_TRUE(day) << Describe(day.error());
  EXPECT_THAT(day->grid.columns, ElementsAre("clip", "survey", "design", "launch", "mass_g", "diameter_mm", "nose"));
  EXPECT_EQ(day->grid.rows[0][0], "flat/heron-1.mp4");  // by its name
  EXPECT_EQ(day->grid.rows[0][1], "field.survey.json");
  EXPECT_EQ(day->grid.rows[1][0], "etc/curlew-2.mp4");  // nowhere; but not outside either
  const Expected<StoredDay> more = store_.Import("Flats", day->revision, "design,fins\nPuffin,3\n", false);
  ASSERT_TRUE(more) << Describe(more.error());
  EXPECT_EQ(more->grid.rows.size(), 3U);
  EXPECT_THAT(more->grid.columns, testing::Contains("fins"));
  EXPECT_EQ(more->grid.rows[0].back(), "");
  EXPECT_EQ(more->grid.rows[2][2], "Puffin");
  const Expected<StoredDay> anew = store_.Import("Flats", more->revision, csv, true);
  ASSERT_TRUE(anew) << Describe(anew.error());
  EXPECT_EQ(anew->grid.rows.size(), 2U);
  EXPECT_EQ(store_.Import("Flats", made.revision, csv, true).error().code, "changed-elsewhere");
  EXPECT_EQ(store_.Import("Flats", anew->revision, "\x89PNG\r\n", true).error().code, "bad-csv");
}

TEST_F(Days, FindTheTablesThatLieInTheFolder) {
  fs::create_directories(folder_.files().path() / "results");
  folder_.files().Write("friday.csv", "clip,design,launch\nflat/heron-1.mp4,Heron,1\n,Heron,2\n");
  folder_.files().Write("flat/more.csv", "design;clip\nHeron;heron-1.mp4\n");
  folder_.files().Write("path.csv", "time,x,y\n0,0,0\n");              // a simulator's
  folder_.files().Write("results/summary.csv", "clip,design\na,b\n");  // what batch wrote
  folder_.files().Write(".hidden.csv", "clip,design\na,b\n");
  Make("Flats");
  const std::vector<FoundTable> tables = store_.Tables();
  ASSERT_EQ(tables.size(), 2U);
  EXPECT_EQ(tables[0].path, "flat/more.csv");
  EXPECT_EQ(tables[1].path, "friday.csv");
  EXPECT_EQ(tables[1].rows, 2U);
  const Expected<StoredDay> day = store_.ImportFrom("Flats", store_.Read("Flats")->revision, "friday.csv");
  ASSERT_TRUE(day) << Describe(day.error());
  EXPECT_EQ(day->grid.rows[0][0], "flat/heron-1.mp4");
  EXPECT_EQ(store_.ImportFrom("Flats", day->revision, "path.csv").error().code, "no-file");
  EXPECT_EQ(store_.ImportFrom("Flats", day->revision, "../friday.csv").error().code, "no-file");
}

TEST_F(Days, TellEachProblemBesideItsCell) {
  DayGrid grid = GridOf({"flat/heron-1.mp4", "field.survey.json", "Heron", "1", "heavy", "22"});
  grid.rows.push_back({"flat/gone.mp4", "field.survey.json", "Heron", "1", "8", "22", "", ""});
  const StoredDay day = Write(Make("Flats"), grid);
  const Expected<std::vector<CellProblem>> problems = FindProblems(store_, day);
  ASSERT_TRUE(problems);
  ASSERT_EQ(problems->size(), 3U);
  EXPECT_EQ((*problems)[0].row, 0U);
  EXPECT_EQ((*problems)[0].column, "mass_g");
  EXPECT_EQ((*problems)[1].row, 1U);
  EXPECT_EQ((*problems)[1].column, "launch");
  EXPECT_THAT((*problems)[1].message, HasSubstr("stands in row 1 already"));
  EXPECT_EQ((*problems)[2].column, "clip");
  EXPECT_THAT((*problems)[2].message, HasSubstr("\"flat/gone.mp4\""));
  EXPECT_THAT((*problems)[2].message, Not(HasSubstr("..")));
}

TEST_F(Days, ATableWithoutRowsHasNoProblems) {
  const Expected<std::vector<CellProblem>> problems = FindProblems(store_, Make("Flats"));
  ASSERT_TRUE(problems);
  EXPECT_TRUE(problems->empty());
}

}  // namespace
}  // namespace loftline::test
