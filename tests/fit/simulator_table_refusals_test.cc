// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Tables that must not be guessed at: each is rejected with the line, the column, and what to do.

#include "fit/simulator/read_simulated_flight.h"

#include <algorithm>
#include <cmath>
#include <ostream>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

struct OddTable {
  const char* name;
  std::string text;
  const char* code;
  int line;
  const char* column;
  const char* message;
  const char* advice;
  const char* columns = "";
};

void PrintTo(const OddTable& odd, std::ostream* out) {
  *out << odd.name;
}

const OddTable kOddTables[] = {
    {"nothing", "", "empty-table", 0, "", "no row of numbers", "row for each moment"},
    {"a_letter", "Dear sir or madam,\nI write to you\n", "empty-table", 0, "", "no row of numbers", ""},
    {"one_column", "y\n1\n2\n3\n", "empty-table", 0, "", "no row of numbers", ""},
    {"utf_16", std::string("\xFF\xFEt\0,\0y\0\n\0", 10), "bad-csv", 1, "", "UTF-16", "CSV UTF-8"},
    {"utf_16_without_mark", std::string("t\0,\0y\0\n\0", 8), "bad-csv", 1, "", "UTF-16", "CSV UTF-8"},
    {"zero_bytes", std::string("t,x,y\n0,0,\0\n", 12), "bad-csv", 2, "", "zero byte", "CSV UTF-8"},
    {"binary",
     std::string("\x7F"
                 "E\0\1\2\0\0\3,\n",
                 10),
     "bad-csv",
     1,
     "",
     "it is not text",
     "CSV UTF-8"},
    {"a_result",
     "{\n \"format\": \"loftline.result\",\n \"a\": [0, 1, 2]\n}\n",
     "bad-csv",
     1,
     "",
     "This is JSON",
     "swapped"},
    {"an_empty_object", "\xEF\xBB\xBF {}\n", "bad-csv", 1, "", "This is JSON", "swapped"},
    {"names_missing", "0,0,1\n1,5,6\n2,9,1\n", "missing-column", 1, "time", "no row of names", "time=1,x=2,y=3"},
    {"name_with_a_bare_comma",
     "time, s,height\n0,0\n1,5\n2,0\n",
     "missing-column",
     1,
     "time",
     "has 3 cells, but the rows of numbers have 2",
     "in quotes"},
    {"no_time",
     "step,x,y\n0,0,1\n1,5,6\n2,9,1\n",
     "missing-column",
     1,
     "time",
     "No column is named as the time",
     "\"step\""},
    {"no_height", "t,x,lift\n0,0,1\n1,5,6\n2,9,1\n", "missing-column", 1, "y", "the height", "--columns y="},
    {"downwards", "t,x,-z\n0,0,1\n1,5,6\n2,9,1\n", "missing-column", 1, "y", "the height", "\"-z\""},
    {"two_heights",
     "t,x,Height,Altitude\n0,0,1,3\n1,5,6,8\n2,9,1,3\n",
     "ambiguous-column",
     1,
     "Height",
     "\"Height\" (column 3) and \"Altitude\" (column 4) could each be the height",
     "--columns y=Height"},
    {"two_units_of_one_height",
     "t,Height (m),Height (ft)\n0,0,0\n1,5,16\n2,0,0\n",
     "ambiguous-column",
     1,
     "Height (m)",
     "could each be the height",
     "--columns 'y=\"Height (m)\"'"},
    {"height_twice_from_two_origins",
     "t,x,y,altitude\n0,0,0,30\n1,5,6,36\n2,9,1,31\n",
     "ambiguous-column",
     1,
     "altitude",
     "\"altitude\" (column 4) and \"y\" (column 3)",
     "--columns y=altitude"},
    {"same_name_twice",
     "t,x,x,y\n0,0,1,1\n1,5,6,6\n2,9,1,1\n",
     "ambiguous-column",
     1,
     "x",
     "(column 2)",
     "--columns x=2"},
    {"two_times", "time,t,y\n0,0,1\n1,1,6\n2,2,1\n", "ambiguous-column", 1, "time", "the time", "--columns time=time"},
    {"strange_unit", "t,y (furlong)\n0,1\n1,2\n2,1\n", "bad-unit", 1, "y (furlong)", "\"furlong\"", "y (furlong) [m]"},
    {"unit_of_something_else", "t,y (kg)\n0,1\n1,2\n2,1\n", "bad-unit", 1, "y (kg)", "\"kg\"", "m, cm, mm"},
    {"uncertainty_in_percent", "t,y,u_y (%)\n0,1,2\n1,2,2\n2,1,2\n", "bad-unit", 1, "u_y (%)", "\"%\"", "m, cm, mm"},
    {"a_word", "t,x,y\n0,0,1\n1,five,6\n2,9,1\n", "bad-value", 3, "x", "\"five\" is not a number", "no unit beside it"},
    {"unit_beside_the_number", "t;x;y\n0;0;1\n1;5 m;6\n2;9;1\n", "bad-value", 3, "x", "\"5 m\"", "no unit beside it"},
    {"infinity", "t,x,y\n0,0,1\n1,inf,6\n2,9,1\n", "bad-value", 3, "x", "\"inf\"", ""},
    {"gap_between", "t,x,y\n0,0,1\n1,,6\n2,9,1\n", "bad-value", 3, "x", "missing", "Fill the cell"},
    {"nan_between", "t,x,y\n0,0,1\n1,5,NaN\n2,9,1\n3,9,0\n", "bad-value", 3, "y", "missing", "take the row out"},
    {"thousands_with_points",
     "t;x;y\n0;0;1\n1;1.234,5;6\n2;9;1\n",
     "bad-value",
     3,
     "x",
     "\"1.234,5\"",
     "between thousands"},
    {"thousands_with_commas",
     "t,x,y\n0,0,1\n1,\"1,234.5\",6\n2,9,1\n",
     "bad-value",
     3,
     "x",
     "\"1,234.5\"",
     "between thousands"},
    {"thousands_with_blanks",
     "t;x;y\n0;0;1\n1;1 234;6\n2;9;1\n",
     "bad-value",
     3,
     "x",
     "\"1 234\"",
     "between thousands"},
    {"point_or_comma", "t;x;y\n0;0;1,5\n1;1.234;6,5\n2;9;1\n", "mixed-decimals", 3, "x", "on line 2", "everywhere"},
    {"decimal_commas_between_commas",
     "t,x,y\n0,0,1\n1,5,6\n1,5,7,5,6,5\n2,9,1\n",
     "bad-csv",
     4,
     "",
     "has 6 cells, but the first one has 3",
     "';'"},
    {"row_cut_short", "t,x,y\n0,0,1\n1,5\n2,9,1\n", "bad-csv", 3, "", "has 2 cells", "Mend the row"},
    {"words_at_the_end",
     "t,x,y\n0,0,1\n1,5,6\n2,9,1\nend of simulation\n",
     "bad-csv",
     5,
     "",
     "has 1 cell,",
     "begin it with #"},
    {"time_falls",
     "t,x,y\n0,0,1\n2,5,6\n1,9,1\n",
     "time-not-rising",
     4,
     "t",
     "1 s after 2 s on line 3",
     "Sort the rows"},
    {"two_flights",
     "t,x,y\n0,0,1\n1,5,6\n2,9,1\n0,0,1\n1,5,6\n2,9,1\n",
     "time-not-rising",
     5,
     "t",
     "0 s after 2 s",
     "one flight alone"},
    {"two_places_at_once",
     "t,x,y\n0,0,1\n1,5,6\n1,5.1,6\n2,9,1\n",
     "time-not-rising",
     4,
     "t",
     "1 s after 1 s",
     "one of the two rows"},
    {"two_rows", "t,x,y\n0,0,1\n1,5,6\n", "too-few-rows", 0, "", "has 2 rows", "hundredth of a second"},
    {"negative_uncertainty", "t,y,u_y\n0,1,0.1\n1,2,-0.1\n2,1,0.1\n", "bad-value", 3, "u_y", "below zero", ""},
    {"choice_of_nothing",
     "t,x,y\n0,0,1\n1,5,6\n2,9,1\n",
     "missing-column",
     1,
     "hight",
     "\"hight\"",
     "\"t\", \"x\", \"y\"",
     "y=hight"},
    {"choice_misspelt",
     "t,x,height\n0,0,1\n1,5,6\n2,9,1\n",
     "missing-column",
     1,
     "hieght",
     "\"hieght\"",
     "\"height\"",
     "y=hieght"},
    {"one_column_for_two", "t,x,y\n0,0,1\n1,5,6\n2,9,1\n", "bad-columns", 1, "x", "two things at once", "", "y=x,x=x"},
    {"choice_of_a_number_too_large", "t,x,y\n0,0,1\n1,5,6\n2,9,1\n", "missing-column", 1, "9", "\"9\"", "", "y=9"},
};

class SimulatorTableRefuses : public testing::TestWithParam<OddTable> {};

TEST_P(SimulatorTableRefuses, WithLineAndColumn) {
  const OddTable& odd = GetParam();
  std::vector<ColumnChoice> choices;
  if (*odd.columns != '\0') choices = *ParseColumnChoices(odd.columns);
  const Expected<SimulatedFlight> flight = ParseSimulatedFlight(odd.text, "heron.csv", choices);
  ASSERT_FALSE(flight);
  const Error& error = flight.error();
  EXPECT_EQ(error.kind, ErrorKind::kInvalidInput);
  EXPECT_EQ(error.code, odd.code) << Describe(error);
  EXPECT_EQ(error.file, "heron.csv");
  EXPECT_EQ(error.line, odd.line) << Describe(error);
  EXPECT_EQ(error.key, odd.column) << Describe(error);
  EXPECT_THAT(error.message, HasSubstr(odd.message));
  EXPECT_THAT(error.advice, Not(IsEmpty()));
  EXPECT_THAT(error.advice, HasSubstr(odd.advice));
}

INSTANTIATE_TEST_SUITE_P(OddTables, SimulatorTableRefuses, testing::ValuesIn(kOddTables), [](const auto& each) {
  return std::string(each.param.name);
});

// Whatever is done to a table's bytes, it is read or rejected, and what is read holds what a flight must.
TEST(SimulatorTable, StandsSpoiltBytes) {
  const std::string sound =
      "# Heron\ntime (s),\"Distance (ft)\",y,speed\n0,0,0.5,9\n0.5,4.25,6,8\n1,8,8.75,7\n1.5,11.5,7.25,6\n";
  std::mt19937 random(81001);
  int read = 0, rejected = 0;
  for (int i = 0; i < 4000; ++i) {
    std::string spoilt = sound;
    for (int slips = 1 + i % 4; slips > 0; --slips) {
      const std::size_t at = random() % spoilt.size();
      const char letter = i % 2 == 0 ? static_cast<char>(random() % 256) : ",;\t \"\n#.-e()[]0nN"[random() % 18];
      if (slips == 3) spoilt.insert(at, 1, letter);
      if (slips == 2) spoilt.resize(at + 1);
      spoilt[std::min(at, spoilt.size() - 1)] = letter;
    }
    const Expected<SimulatedFlight> flight = ParseSimulatedFlight(spoilt, "heron.csv");
    ++(flight ? read : rejected);
    if (!flight) continue;
    ASSERT_GE(flight->time_s.size(), 3U);
    ASSERT_TRUE(std::ranges::is_sorted(flight->time_s, std::less_equal<>()));
    ASSERT_EQ(flight->y_m.size(), flight->time_s.size());
    ASSERT_TRUE(flight->x_m.empty() || flight->x_m.size() == flight->time_s.size());
    for (const double height_m : flight->y_m) ASSERT_TRUE(std::isfinite(height_m));
  }
  EXPECT_GT(read, 300);
  EXPECT_GT(rejected, 400);
}

TEST(ColumnChoices, AreReadStrictly) {
  EXPECT_EQ(ParseColumnChoices("time=t,y=h")->size(), 2U);
  for (const char* const bad : {"", "time", "time=", "tiem=t", "time=t,time=u", "y=none", "time=none", "time=t,,y=h"}) {
    const auto choices = ParseColumnChoices(bad);
    ASSERT_FALSE(choices) << bad;
    EXPECT_EQ(choices.error().code, "bad-columns") << bad;
    EXPECT_EQ(choices.error().key, "--columns");
    EXPECT_THAT(choices.error().advice, Not(IsEmpty()));
  }
}

}  // namespace
}  // namespace loftline
