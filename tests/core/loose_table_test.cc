// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/loose_table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;

LooseTable Parsed(const std::string& text) {
  Expected<LooseTable> table = ParseLooseTable(text, "heron.csv");
  if (!table) {
    ADD_FAILURE() << Describe(table.error());
    return {};
  }
  return *table;
}

TEST(LooseTable, FindsWhatPartsTheCells) {
  EXPECT_EQ(Parsed("a,b\n1,2\n").separator, ',');
  EXPECT_EQ(Parsed("a;b\n1,5;2,5\n").separator, ';');
  EXPECT_EQ(Parsed("a\tb\n1,5\t2,5\n").separator, '\t');
  EXPECT_EQ(Parsed("a b\n1,5 2,5\n").separator, ' ');
  EXPECT_EQ(Parsed("a, b\n1, 2\n").separator, ',');
  EXPECT_THAT(Parsed("a, b\n1,\t2\n").rows[0].cells, ElementsAre("1", "2"));
}

TEST(LooseTable, KeepsTheFilesOwnLines) {
  const LooseTable table =
      Parsed("A title of four\n\n# written by hand\nname,\"two\nlines\"\nm,m\n\n1,2\n# between\n3,4\n");
  ASSERT_EQ(table.rows.size(), 2U);
  EXPECT_EQ(table.rows[0].line, 8);
  EXPECT_EQ(table.rows[1].line, 10);
  ASSERT_EQ(table.above.size(), 2U);
  EXPECT_THAT(table.above[0].cells, ElementsAre("m", "m"));
  EXPECT_THAT(table.above[1].cells, ElementsAre("name", "two lines"));
  EXPECT_EQ(table.above[1].line, 4);
  ASSERT_TRUE(table.misfit);
  EXPECT_EQ(table.misfit->line, 1);
}

TEST(LooseTable, RefusesRowsOfOtherWidths) {
  const Expected<LooseTable> table = ParseLooseTable("a,b\n1,2\n3\n", "heron.csv");
  ASSERT_FALSE(table);
  EXPECT_EQ(table.error().code, "bad-csv");
  EXPECT_EQ(table.error().line, 3);
}

struct CellCase {
  const char* text;
  double value, last_digit;
};

TEST(LooseCell, ReadsNumbers) {
  const CellCase cases[] = {{"12", 12, 1},
                            {"-1.50", -1.5, 0.01},
                            {"1,5", 1.5, 0.1},
                            {"+.25", 0.25, 0.01},
                            {"6.", 6, 1},
                            {"\u22123.0", -3, 0.1},
                            {" 2.5e-3 ", 0.0025, 1e-4},
                            {"1.0D+02", 100, 10},
                            {"3E1", 30, 10}};
  for (const CellCase& each : cases) {
    const LooseCell cell = ReadLooseCell(each.text);
    EXPECT_EQ(cell.kind, LooseCell::Kind::kNumber) << each.text;
    EXPECT_DOUBLE_EQ(cell.value, each.value) << each.text;
    EXPECT_DOUBLE_EQ(cell.last_digit, each.last_digit) << each.text;
  }
}

TEST(LooseCell, TellsGapsFromText) {
  for (const char* const gap : {"", " ", "NaN", "nan", "-nan", "N/A", "NA", "-", "--", "null"}) {
    EXPECT_EQ(ReadLooseCell(gap).kind, LooseCell::Kind::kMissing) << gap;
  }
  for (const char* const text :
       {"inf", "1.234,5", "1,234,567", "1 234", "1'234", "5 m", "e", "1e", "1,", "--1", "1e999", "0x10"}) {
    EXPECT_EQ(ReadLooseCell(text).kind, LooseCell::Kind::kText) << text;
  }
}

}  // namespace
}  // namespace loftline
