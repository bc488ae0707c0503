// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/csv_file.h"

#include "tests/core/temporary_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

const CsvRules kAnything = {.required = {}, .optional = {}, .others_allowed = true};

CsvTable Parsed(const std::string& text, const CsvRules& rules = kAnything) {
  Expected<CsvTable> table = ParseCsv(text, "day.csv", rules);
  if (!table) {
    ADD_FAILURE() << Describe(table.error());
    return {};
  }
  return *table;
}

Error ErrorOf(const std::string& text, const CsvRules& rules = kAnything) {
  Expected<CsvTable> table = ParseCsv(text, "day.csv", rules);
  if (table) {
    ADD_FAILURE() << "was read: " << text;
    return {};
  }
  return table.error();
}

TEST(ParseCsv, Nominal) {
  const CsvTable table = Parsed("clip,fins\na.mp4,3\nb.mp4,4\n");
  EXPECT_THAT(table.columns, ElementsAre("clip", "fins"));
  ASSERT_EQ(table.rows.size(), 2U);
  EXPECT_EQ(table.Cell(table.rows[1], "clip"), "b.mp4");
  EXPECT_EQ(*table.Number(table.rows[1], "fins"), 4.0);
  EXPECT_EQ(table.rows[1].line, 3);
}

// RFC 4180, section 2, rules 1 to 7, with the examples given there.
TEST(ParseCsv, FollowsRfc4180) {
  EXPECT_THAT(Parsed("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n").rows[0].cells, ElementsAre("zzz", "yyy", "xxx"));
  EXPECT_THAT(Parsed("aaa,bbb,ccc\r\nzzz,yyy,xxx").rows[0].cells, ElementsAre("zzz", "yyy", "xxx"));
  EXPECT_THAT(Parsed("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx").columns, ElementsAre("aaa", "bbb", "ccc"));
  EXPECT_THAT(Parsed("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx").columns, ElementsAre("aaa", "b\r\nbb", "ccc"));
  EXPECT_THAT(Parsed("\"aaa\",\"b\"\"bb\",\"ccc\"\r\nzzz,yyy,xxx").columns, ElementsAre("aaa", "b\"bb", "ccc"));
}

TEST(ParseCsv, CountsTheFilesOwnLines) {
  const CsvTable table = Parsed("# a launch day\n\nclip,note\n# morning\na,\"two\nlines\"\n\nb,x\n");
  ASSERT_EQ(table.rows.size(), 2U);
  EXPECT_EQ(table.rows[0].line, 5);
  EXPECT_EQ(table.rows[1].line, 8);
}

TEST(ParseCsv, TakesWhatSpreadsheetsLeave) {
  const CsvTable table = Parsed("\xEF\xBB\xBF clip , fins,,\r\n a.mp4 ,3,,\r\n,,,\r\n\r\n");
  EXPECT_THAT(table.columns, ElementsAre("clip", "fins"));
  ASSERT_EQ(table.rows.size(), 1U);
  EXPECT_THAT(table.rows[0].cells, ElementsAre("a.mp4", "3"));
  EXPECT_THAT(Parsed("a,b\rc,d\r").rows[0].cells, ElementsAre("c", "d"));
  EXPECT_THAT(Parsed("a,b\n\" kept \" , \"#\"\n").rows[0].cells, ElementsAre(" kept ", "#"));
}

TEST(ParseCsv, ReadsSemicolonsWithDecimalCommas) {
  const CsvTable table = Parsed("# Wiese, Nord\nclip;mass_g\na.mp4;8,25\nb.mp4;8.25\nc.mp4;1.008,25\n");
  EXPECT_EQ(*table.Number(table.rows[0], "mass_g"), 8.25);
  EXPECT_EQ(*table.Number(table.rows[1], "mass_g"), 8.25);
  EXPECT_FALSE(table.Number(table.rows[2], "mass_g"));
  const CsvTable tabs = Parsed("clip\tmass_g\na.mp4\t8,25\nb.mp4\t\n");
  EXPECT_EQ(*tabs.Number(tabs.rows[0], "mass_g"), 8.25);
  EXPECT_EQ(*tabs.NumberOrNothing(tabs.rows[1], "mass_g"), std::nullopt);
}

struct BadCase {
  std::string text;
  const char* code;
  int line;
  const char* says;
};

TEST(ParseCsv, RefusesBrokenTables) {
  const BadCase cases[] = {
      {"", "empty-table", 0, "empty"},
      {"\xEF\xBB\xBF", "empty-table", 0, "empty"},
      {"# only this\n\n", "empty-table", 0, "empty"},
      {"a,b\n", "empty-table", 0, "no rows"},
      {"a,b\n1,2\n3\n", "bad-csv", 3, "1 cells"},
      {"a,b\n1,2,3\n", "bad-csv", 2, "3 cells"},
      {"a,b\n1,2\n\"open,4\n5,6\n", "bad-csv", 3, "never closed"},
      {"a,b\n1,\"2\"x\n", "bad-csv", 2, "closing quote"},
      {"a,b\n5\" nose,2\n", "bad-csv", 2, "quote stands inside"},
      {"a,a\n1,2\n", "bad-csv", 1, "twice"},
      {"a,,c\n1,2,3\n", "bad-csv", 1, "no name"},
      {"a,b,\n1,2,3\n", "bad-csv", 1, "no name"},
      {"a,b\n1,M\xFCller\n", "bad-csv", 2, "UTF-8"},
      {std::string("a,b\n1,\0\n", 8), "bad-csv", 2, "UTF-8"},
      {std::string("\xFF\xFE"
                   "a\0,\0",
                   6),
       "bad-csv",
       1,
       "UTF-8"},
  };
  for (const BadCase& one : cases) {
    const Error error = ErrorOf(one.text);
    EXPECT_EQ(error.code, one.code) << one.text;
    EXPECT_EQ(error.line, one.line) << one.text;
    EXPECT_EQ(error.file, "day.csv");
    EXPECT_THAT(error.message, HasSubstr(one.says));
  }
}

TEST(ParseCsv, ChecksColumns) {
  const CsvRules rules = {.required = {"frame", "time_s"}, .optional = {"length_px"}, .others_allowed = false};
  EXPECT_EQ(Parsed("time_s,frame\n0,1\n", rules).rows.size(), 1U);
  const Error missing = ErrorOf("frame,tmie_s\n0,1\n", rules);
  EXPECT_EQ(missing.code, "missing-column");
  EXPECT_EQ(missing.key, "time_s");
  EXPECT_THAT(missing.advice, HasSubstr("tmie_s"));
  const Error unknown = ErrorOf("\nframe,time_s,lenght_px\n0,1,2\n", rules);
  EXPECT_EQ(unknown.code, "unknown-column");
  EXPECT_EQ(unknown.line, 2);
  EXPECT_EQ(unknown.key, "lenght_px");
  EXPECT_THAT(unknown.advice, HasSubstr("\"length_px\""));
}

TEST(CsvTable, NumbersAreFiniteOrErrorsWithAPlace) {
  const CsvTable table = Parsed("a\n1e3\n+2.5\n\u22124\n 7 \n");
  EXPECT_EQ(*table.Number(table.rows[0], "a"), 1000.0);
  EXPECT_EQ(*table.Number(table.rows[1], "a"), 2.5);
  EXPECT_EQ(*table.Number(table.rows[2], "a"), -4.0);
  EXPECT_EQ(*table.Number(table.rows[3], "a"), 7.0);
  const CsvTable bad = Parsed("b,a\n1,nan\n1,inf\n1,1e999\n1,8.2 g\n1,\"8,2\"\n1,\n1,0x1F\n1,+-2\n");
  for (const CsvRow& row : bad.rows) {
    const Expected<double> number = bad.Number(row, "a");
    ASSERT_FALSE(number) << row.cells[1];
    EXPECT_EQ(number.error().code, "bad-value");
    EXPECT_EQ(number.error().line, row.line);
    EXPECT_EQ(number.error().key, "a");
  }
}

TEST(CsvTable, AbsentColumnsAreEmpty) {
  const CsvTable table = Parsed("a\n1\n");
  EXPECT_EQ(table.Cell(table.rows[0], "b"), "");
  EXPECT_EQ(*table.NumberOrNothing(table.rows[0], "b"), std::nullopt);
  EXPECT_FALSE(table.Number(table.rows[0], "b"));
  EXPECT_EQ(table.Column("b"), std::nullopt);
}

TEST(ReadCsv, NamesAFileThatCannotBeRead) {
  const TemporaryFolder folder;
  for (const auto& path : {folder.path() / "missing.csv", folder.path()}) {
    const Expected<CsvTable> table = ReadCsv(path, kAnything);
    ASSERT_FALSE(table);
    EXPECT_EQ(table.error().code, "cannot-read");
    EXPECT_EQ(table.error().file, path.string());
  }
  EXPECT_EQ(ReadCsv(folder.Write("day.csv", "a,b\n1,2\n"), kAnything)->rows.size(), 1U);
}

TEST(CsvLine, ReadsBackAsItWasWritten) {
  const std::vector<std::string> cells = {
      "plain", "with, comma", "5\" nose", " spaces ", "two\nlines", "", "#1", "a;b", "ä"};
  EXPECT_EQ(CsvLine({"a", "b,c", "d\"e"}), "a,\"b,c\",\"d\"\"e\"");
  const CsvTable table = Parsed("1,2,3,4,5,6,7,8,9\n" + CsvLine(cells) + "\n");
  EXPECT_EQ(table.rows[0].cells, cells);
  const CsvTable comment_like = Parsed("a,b\n" + CsvLine({"#1", "x"}) + "\n");
  EXPECT_EQ(comment_like.rows[0].cells[0], "#1");
}

}  // namespace
}  // namespace loftline
