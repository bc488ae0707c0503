// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Which column is what: names in several languages, axes as other programs have them, units in odd places. Units by
// their definitions: foot 0.3048 m (exact).

#include "tests/fit/simulator_tables.h"

#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

const std::string kRows = "0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n";

TEST(SimulatorColumns, AreNamedInOtherLanguagesToo) {
  for (const char* const names : {"Zeit (s),Weite (m),Höhe (m)",
                                  "Flugzeit [Sekunden],Entfernung,Flughöhe",
                                  "Temps (s),Portée (m),Hauteur (m)",
                                  "tiempo,distancia,altura",
                                  "tempo,distanza,altezza",
                                  "Time,Horz Dist,Vert Dist"}) {
    SCOPED_TRACE(names);
    ExpectTheFlight(Read(std::string(names) + "\n" + kRows));
  }
  const SimulatedFlight flight = Read("zeit;höhe;geschwindigkeit (km/h)\n0;1;36\n1;6;18\n2;1;36\n");
  ExpectAre(flight.speed_m_per_s, {10.0, 5.0, 10.0});
}

TEST(SimulatorColumns, AreOfTimesNamedByTheirUnit) {
  ExpectTheFlight(Read("millis,x,y\n0,0,0.5\n500,4.25,6\n1000,8,8.75\n1500,11.5,7.25\n"));
  ExpectTheFlight(Read("Time (\u00b5s),x,y\n0,0,0.5\n500000,4.25,6\n1000000,8,8.75\n1500000,11.5,7.25\n"));
  ExpectTheFlight(Read("sec,x,y\n" + kRows));
}

// Copied from a page: blanks that do not break, in names and numbers.
TEST(SimulatorColumns, ArePartedFromUnitsByAnyBlank) {
  ExpectTheFlight(
      Read("Time\u00a0(s);Distance\u00a0(m);Height\u202f(m)\n0;0;0.5\n0.5;\u00a04.25;6\n1;8;8.75\n"
           "1.5;11.5;7.25\u00a0\n"));
  ExpectTheFlight(Read("Time\xA0(s),Distance\xA0(m),Height\xA0(m)\n" + kRows));  // Latin-1
}

TEST(SimulatorColumns, ArePartedByUprightLines) {
  ExpectTheFlight(Read("t|x|y\n0|0|0,5\n0,5|4,25|6\n1|8|8,75\n1,5|11,5|7,25\n"));
  ExpectTheFlight(
      Read("| t | x | y |\n|---|---|---|\n| 0 | 0 | 0.5 |\n| 0.5 | 4.25 | 6 |\n| 1 | 8 | 8.75 |\n"
           "| 1.5 | 11.5 | 7.25 |\n"));
}

TEST(SimulatorColumns, HaveUnitsAboveTheNames) {
  const SimulatedFlight flight = Read("s,ft,ft\nTime,Distance,Height\n0,0,1\n1,10,20\n2,20,3\n");
  ExpectAre(flight.x_m, {0.0, 3.048, 6.096});
  ExpectAre(flight.y_m, {0.3048, 6.096, 0.9144});
  // where the names have units, a row of them above is a title of something else
  ExpectTheFlight(Read("s,ft,ft\nTime (s),Distance (m),Height (m)\n" + kRows));
}

TEST(SimulatorColumns, HaveOneUnitEach) {
  const std::string table = "Time (s),Distance (m),Height (m)\ns,m,ft\n" + kRows;
  const Expected<SimulatedFlight> flight = Parsed(table);
  ASSERT_FALSE(flight);
  EXPECT_EQ(flight.error().code, "bad-unit");
  EXPECT_EQ(flight.error().key, "Height (m)");
  EXPECT_THAT(flight.error().advice, HasSubstr("y=\"Height (m) [ft]\""));
  EXPECT_NEAR(Read(table, "y=\"Height (m) [ft]\"").y_m[0], 0.1524, 1e-12);
}

TEST(SimulatorColumns, MayCountHeightsFromTheSea) {
  ExpectTheFlight(Read("Time (s),Distance (m),Altitude MSL (m)\n" + kRows));
  // beside a height above the launch it is not needed
  ExpectTheFlight(
      Read("t,x,y,Altitude ASL (m)\n0,0,0.5,212.5\n0.5,4.25,6,218\n1,8,8.75,220.75\n1.5,11.5,7.25,219.25\n"));
  ExpectTheFlight(
      Read("t,x,altitude AGL,altitude ASL\n0,0,0.5,212\n0.5,4.25,6,217\n1,8,8.75,220\n1.5,11.5,7.25,219\n"));
  // beside a y that is none, it is the height: 3, 4, 5
  const SimulatedFlight flight = Read("t,x,y,altitude msl\n0,0,0,200\n1,3,4,209\n2,6,8,205\n");
  ExpectAre(flight.x_m, {0.0, 5.0, 10.0});
  ExpectAre(flight.y_m, {200.0, 209.0, 205.0});
}

// 3, 4, 5
TEST(SimulatorColumns, MayPointEastNorthAndUp) {
  for (const char* const names : {"Time (s),East (m),North (m),Up (m)",
                                  "t,x east (m),y north (m),Altitude (m)",
                                  "t,downrange,crossrange,altitude"}) {
    SCOPED_TRACE(names);
    const SimulatedFlight flight = Read(std::string(names) + "\n0,0,0,0\n0.5,3,4,6\n1,6,8,8\n");
    ExpectAre(flight.x_m, {0.0, 5.0, 10.0});
    ExpectAre(flight.y_m, {0.0, 6.0, 8.0});
  }
}

TEST(SimulatorColumns, OfAFlightBesideXAreDistanceAndHeight) {
  const SimulatedFlight flight = Read("t,y,z,vy,vz\n0,0,0.5,9,11\n0.5,4.25,6,8,6\n1,8,8.75,7,1\n1.5,11.5,7.25,6,-4\n");
  ExpectTheFlight(flight);
  ExpectAre(flight.vx_m_per_s, {9.0, 8.0, 7.0, 6.0});
  ExpectAre(flight.vy_m_per_s, {11.0, 6.0, 1.0, -4.0});
}

// y rises and falls, z drifts: a program whose y is up. Which it is, is not guessed; 3, 4, 5 once it is told.
TEST(SimulatorColumns, AreAskedAboutWhereYFalls) {
  const std::string table = "t,x,y,z\n0,0,0.5,0\n0.5,3,6,4\n1,6,8.75,8\n1.5,9,9,12\n";
  const Expected<SimulatedFlight> flight = Parsed(table);
  ASSERT_FALSE(flight);
  EXPECT_EQ(flight.error().code, "ambiguous-column");
  EXPECT_EQ(flight.error().advice, "Say which one is meant: --columns y=y");
  const SimulatedFlight told = Read(table, "y=y");
  ExpectAre(told.x_m, {0.0, 5.0, 10.0, 15.0});
  ExpectAre(told.y_m, {0.5, 6.0, 8.75, 9.0});
}

TEST(SimulatorColumns, AreTurnedRoundWhenAsked) {
  const std::string table = "t,x,depth (cm),vy\n0,0,-50,-11\n0.5,4.25,-600,-6\n1,8,-875,-1\n1.5,11.5,-725,4\n";
  const SimulatedFlight flight = Read(table, "y=-depth");
  ExpectTheFlight(flight);
  ExpectAre(flight.vy_m_per_s, {11.0, 6.0, 1.0, -4.0});  // goes with it
  EXPECT_NEAR(flight.y_step_m, 0.01, 1e-12);
  EXPECT_EQ(flight.columns[2].column, "-depth (cm)");
  // a column that is called so is what it says
  ExpectTheFlight(Read("t,x,-z\n" + kRows, "y=-z"));
}

TEST(SimulatorColumns, ThatAreNotUsedAreNamed) {
  EXPECT_THAT(Read("t,s,mass,y\n0,0,8,0.5\n0.5,4,8,6\n1,8,8,8\n").columns_passed_over, ElementsAre("s", "mass"));
  EXPECT_THAT(Read("t,x,y\n" + kRows).columns_passed_over, IsEmpty());
}

TEST(SimulatorColumns, SayWhichFlightAPredictionStartedFrom) {
  const std::string remark =
      "# Flight predicted by loftline 0.1.0\n# starts from the measured flight day/h 1.result.json\n";
  EXPECT_EQ(Read(remark + "t,x,y\n" + kRows).predicted_from, "day/h 1.result.json");
  EXPECT_EQ(Read("t,x,y\n" + kRows).predicted_from, "");
}

struct Wrong {
  const char* table;
  const char* code;
  int line;
  const char* key;
  const char* advice;
};

TEST(SimulatorColumns, AreRefusedWithWhatHelps) {
  const Wrong wrongs[] = {
      {"t (ms);x (mm);y (mm)\n0;0;500\n100;894;980\n200;1,789;1,272\n300;2,652;3,100\n",
       "bad-value",
       4,
       "x (mm)",
       "without signs between thousands"},
      {"t (ms);x (mm);y (mm)\n0;0;500\n100;894;980\n200;1789;1.272\n", "bad-value", 4, "y (mm)", "thousands"},
      {"time,x,y\n0:00.0,0,0.5\n0:00.5,4,6\n0:01.0,8,8\n", "bad-value", 2, "time", "83.4, not 1:23.4"},
      {"t,x,y\n0,0,1\n1,5,6\n2,9,1\nt,x,y\n0,0,1\n", "bad-value", 5, "t", "a second table"},
      {"t,x,y\n0,0,1\n1,5,6\n2,9,1\nApogee,6,m\n", "bad-value", 5, "t", "take it out or begin it with #"},
      {"t,x,y\n0,0,1\n1,5,6,apogee\n2,9,1\n", "bad-csv", 3, "", "Mend the row"},
      {"t,x,y\n0,00,0,00,0,50\n0,50,4,25,6,00\n1,00,8,00,8,75\n", "missing-column", 1, "time", "decimal commas"},
      {",x,y\n0,0,1\n1,5,6\n2,9,1\n", "missing-column", 1, "time", "column 1 without a name, \"x\", \"y\""}};
  for (const Wrong& wrong : wrongs) {
    SCOPED_TRACE(wrong.table);
    const Expected<SimulatedFlight> flight = Parsed(wrong.table);
    ASSERT_FALSE(flight);
    EXPECT_EQ(flight.error().code, wrong.code) << Describe(flight.error());
    EXPECT_EQ(flight.error().line, wrong.line);
    EXPECT_EQ(flight.error().key, wrong.key);
    EXPECT_THAT(flight.error().advice, HasSubstr(wrong.advice));
  }
  // Names that do not match the numbers give no numbers to copy: the first column may be the rows' own names.
  EXPECT_THAT(Parsed("t x y\n1 0 0 0.5\n2 0.5 4 6\n3 1 8 8\n").error().advice, HasSubstr("time=...,x=...,y=..."));
}

// Three decimals are no thousands where the column has nothing larger without them.
TEST(SimulatorColumns, MayHaveThreeDecimals) {
  ExpectAre(Read("t;y\n0;0\n1;1,272\n2;2,5\n").y_m, {0.0, 1.272, 2.5});
  ExpectAre(Read("t;y\n0;1\n1;1.272\n2;12\n").y_m, {1.0, 1.272, 12.0});
  ExpectAre(Read("t;y\n0;201.500\n1;212.272\n2;200\n").y_m, {201.5, 212.272, 200.0});
}

}  // namespace
}  // namespace loftline
