// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_grid.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;

const std::vector<std::string> kColumns = {"clip", "survey", "design", "launch", "mass_g", "diameter_mm", "fin, big"};

DayGrid Grid(std::vector<std::vector<std::string>> rows) {
  return {kColumns, std::move(rows)};
}

TEST(DayGridText, ComesBackAsItWas) {
  const DayGrid grid = Grid({{"a, b.mp4", "s.json", "He said \"Heron\"", "1", "8.2", "", "3"},
                             {"#first.mp4", "", "Möwe", " 2", "", "", "x;y"}});
  const Expected<GridReading> reading = ReadGrid(GridAsCsv(grid), "day.csv");
  ASSERT_TRUE(reading) << Describe(reading.error());
  EXPECT_EQ(reading->grid.columns, grid.columns);
  EXPECT_EQ(reading->grid.rows[0], grid.rows[0]);
  EXPECT_EQ(reading->grid.rows[1][0], "#first.mp4");
  EXPECT_EQ(reading->grid.rows[1][3], "2");  // spaces around a cell mean nothing
  EXPECT_THAT(reading->lines, ElementsAre(2, 3));
}

TEST(DayGridText, ATableWithoutARowIsABeginning) {
  const Expected<GridReading> reading = ReadGrid(GridAsCsv(NewDayGrid()), "day.csv");
  ASSERT_TRUE(reading) << Describe(reading.error());
  EXPECT_EQ(reading->grid, NewDayGrid());
  EXPECT_EQ(ReadGrid("", "day.csv").error().code, "empty-table");
  EXPECT_EQ(ReadGrid("one line of prose\n", "day.csv").error().code, "empty-table");
}

TEST(DayGridText, LeavesOutRowsWithoutContent) {
  EXPECT_EQ(GridAsCsv(Grid({std::vector<std::string>(7), {"", "", "Heron", "", "", "", ""}})),
            "clip,survey,design,launch,mass_g,diameter_mm,\"fin, big\"\n,,Heron,,,,\n");
}

// As a spreadsheet saves it in a country with a decimal comma, with a byte-order mark.
TEST(DayGridText, TakesWhatASpreadsheetSaves) {
  const Expected<GridReading> reading = ReadGrid(
      "\xEF\xBB\xBF"
      "clip;design;launch;mass_g;note\r\nx.mp4;Heron;1;8,25;\"2,5, but\nwet\"\r\n",
      "day.csv");
  ASSERT_TRUE(reading) << Describe(reading.error());
  EXPECT_THAT(reading->grid.columns,
              ElementsAre("clip", "design", "launch", "mass_g", "note", "survey", "diameter_mm"));
  EXPECT_THAT(reading->grid.rows[0], ElementsAre("x.mp4", "Heron", "1", "8.25", "2,5, but wet", "", ""));
}

TEST(CheckGrid, SaysWhatItCannotKeep) {
  EXPECT_TRUE(CheckGrid(Grid({})));
  EXPECT_FALSE(CheckGrid({{"clip", "survey", "design"}, {}}));           // columns are missing
  EXPECT_FALSE(CheckGrid(Grid({{"too", "short"}})));                     // cells are
  EXPECT_FALSE(CheckGrid(Grid({{"a", "b", "c\nd", "1", "", "", ""}})));  // two lines
  EXPECT_FALSE(CheckGrid(Grid({{"a", "b", "\xff", "1", "", "", ""}})));  // no text
  EXPECT_FALSE(CheckGrid(Grid({{"a", "b", std::string(1001, 'x'), "1", "", "", ""}})));
  EXPECT_FALSE(CheckGrid(Grid(std::vector<std::vector<std::string>>(2001, std::vector<std::string>(7)))));
  DayGrid twice = Grid({});
  twice.columns.back() = "clip";
  EXPECT_FALSE(CheckGrid(twice));
  for (const char* name : {"", " fins", "fi\nns"}) {
    DayGrid badly = Grid({});
    badly.columns.back() = name;
    EXPECT_FALSE(CheckGrid(badly)) << name;
  }
}

}  // namespace
}  // namespace loftline
