// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/drag_table_file.h"

#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

#include <ceres/jet.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

DragTableFile Parsed(const std::string& text) {
  Expected<DragTableFile> table = ParseDragTable(text, "drag.csv");
  EXPECT_TRUE(table) << Describe(table.error());
  return table ? *table : DragTableFile{"", DragTable(DragAgainst::kTime, {0.0}, {0.0}), {}};
}

TEST(DragTable, GoesThroughItsRowsAndNeverBeyondThem) {
  const std::vector<double> at{2000, 5000, 9000, 30000}, cd{1.2, 0.6, 0.7, 0.4};
  const DragTable table(DragAgainst::kReynolds, at, cd);
  for (std::size_t i = 0; i < at.size(); ++i) EXPECT_DOUBLE_EQ(table.At(at[i]), cd[i]);
  for (std::size_t i = 0; i + 1 < at.size(); ++i) {
    for (int part = 0; part <= 20; ++part) {
      const double value = table.At(at[i] + 0.05 * part * (at[i + 1] - at[i]));
      EXPECT_GE(value, std::min(cd[i], cd[i + 1]) - 1e-12);
      EXPECT_LE(value, std::max(cd[i], cd[i + 1]) + 1e-12);
    }
  }
  EXPECT_EQ(table.At(1.0), 1.2);
  EXPECT_EQ(table.At(0.0), 1.2);
  EXPECT_EQ(table.At(1e7), 0.4);
}

TEST(DragTable, HasADerivative) {
  using Jet = ceres::Jet<double, 1>;
  const DragTable table(DragAgainst::kReynolds, {2000, 5000, 9000, 30000}, {1.2, 0.6, 0.7, 0.4});
  for (const double re : {1000.0, 2500.0, 5000.0, 8000.0, 20000.0, 50000.0}) {
    const Jet jet = table.At(Jet(re, 0));
    const double step = 1e-4 * re;
    EXPECT_EQ(jet.a, table.At(re));
    EXPECT_NEAR(jet.v[0], (table.At(re + step) - table.At(re - step)) / (2 * step), 2e-4 / re) << re;
  }
}

TEST(DragTable, OneRowIsAConstant) {
  const DragTable table(DragAgainst::kTime, {0.5}, {0.6});
  for (const double at : {-1.0, 0.5, 9.0}) EXPECT_EQ(table.At(at), 0.6);
}

TEST(DragTable, RejectsWhatIsNone) {
  EXPECT_THROW(DragTable(DragAgainst::kTime, {}, {}), std::invalid_argument);
  EXPECT_THROW(DragTable(DragAgainst::kTime, {0.0, 1.0}, {0.5}), std::invalid_argument);
  EXPECT_THROW(DragTable(DragAgainst::kTime, {1.0, 1.0}, {0.5, 0.5}), std::invalid_argument);
  EXPECT_THROW(DragTable(DragAgainst::kReynolds, {0.0, 1.0}, {0.5, 0.5}), std::invalid_argument);
}

TEST(DragTableFile, IsReadInEveryFormThatSpreadsheetsWrite) {
  for (const char* text : {"reynolds,drag_coefficient\n5000,0.6\n20000,0.45\n",
                           "Re,Cd\r\n5000,0.6\r\n20000,0.45\r\n",
                           "\xEF\xBB\xBF# from a wind tunnel\n\nRe;cd\n5000;0,6\n20000;0,45\n",
                           "cd\tRE\n0,6\t5000\n0,45\t20000\n",
                           "\"Reynolds\", \"Drag_coefficient\" ,\n 5e3 , 0.6 ,\n 2e4 , 0.45 ,\n",
                           "# a comment, with a comma\nre,cd\n5000,+0.6\n\n# another\n20000,.45\n"}) {
    const DragTableFile file = Parsed(text);
    EXPECT_EQ(file.table.against(), DragAgainst::kReynolds) << text;
    EXPECT_THAT(file.table.at(), ElementsAre(5000, 20000)) << text;
    EXPECT_THAT(file.table.coefficients(), ElementsAre(0.6, 0.45)) << text;
    EXPECT_TRUE(file.stds.empty());
  }
  const DragTableFile timed = Parsed("t_s,cd,cd_std\n-0.1,0.6,0.05\n0,0.5,0\n");
  EXPECT_EQ(timed.table.against(), DragAgainst::kTime);
  EXPECT_THAT(timed.table.at(), ElementsAre(-0.1, 0.0));
  EXPECT_THAT(timed.stds, ElementsAre(0.05, 0.0));
}

TEST(DragTableFile, ErrorsNameLineAndColumn) {
  struct Case {
    const char* text;
    const char* code;
    int line;
    const char* column;
  };
  for (const Case& c : {Case{"reynolds,cd\n5000,0.6\n4000,0.5\n", "bad-value", 3, "reynolds"},
                        Case{"reynolds,cd\n5000,0.6\n5000,0.5\n", "bad-value", 3, "reynolds"},
                        Case{"Re,cd\n0,0.6\n5000,0.5\n", "bad-value", 2, "Re"},
                        Case{"t_s,cd\n0,0.6\n\n1,-0.5\n", "bad-value", 4, "cd"},
                        Case{"t_s,cd\n0,0.6\n1,fast\n", "bad-value", 3, "cd"},
                        Case{"t_s,cd\n0,0.6\n1,\n", "bad-value", 3, "cd"},
                        Case{"t_s,cd\n0,nan\n", "bad-value", 2, "cd"},
                        Case{"t_s,cd,cd_std\n0,0.6,-1\n", "bad-value", 2, "cd_std"},
                        Case{"t_s,cd\n0,0.6,7\n", "bad-csv", 2, ""},
                        Case{"t_s,re,cd\n0,1,0.6\n", "bad-csv", 0, "re"},
                        Case{"t_s,time_s,cd\n0,1,0.6\n", "bad-csv", 0, "time_s"},
                        Case{"speed,cd\n0,0.6\n", "unknown-column", 0, "speed"},
                        Case{"t_s,drag_coeficient\n0,0.6\n", "unknown-column", 0, "drag_coeficient"},
                        Case{"cd\n0.6\n", "missing-column", 0, "reynolds"},
                        Case{"t_s\n0.6\n", "missing-column", 0, "drag_coefficient"},
                        Case{"t_s,cd\n", "empty-table", 0, ""},
                        Case{"", "empty-table", 0, ""}}) {
    const Expected<DragTableFile> table = ParseDragTable(c.text, "drag.csv");
    ASSERT_FALSE(table) << c.text;
    EXPECT_EQ(table.error().code, c.code) << c.text << Describe(table.error());
    EXPECT_EQ(table.error().line, c.line) << c.text << Describe(table.error());
    EXPECT_EQ(table.error().key, c.column) << c.text;
    EXPECT_EQ(table.error().file, "drag.csv") << c.text;
    EXPECT_NE(table.error().advice, "") << c.text;
  }
  EXPECT_THAT(ParseDragTable("t_s,drag_coeficient\n0,0.6\n", "d").error().advice, HasSubstr("\"drag_coefficient\""));
  EXPECT_EQ(ReadDragTable("no/such/file.csv").error().code, "cannot-read");
}

}  // namespace
}  // namespace loftline
