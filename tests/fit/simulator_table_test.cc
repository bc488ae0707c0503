// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Tables of many shapes, each read to the same few numbers. Units by their definitions: foot 0.3048 m, inch 0.0254 m,
// mile 1609.344 m, knot 1852 m/h (exact).

#include "tests/core/temporary_folder.h"
#include "tests/fit/simulator_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::IsEmpty;

const ReadColumn& ColumnOf(const SimulatedFlight& flight, const std::string& role) {
  static const ReadColumn kNone;
  for (const ReadColumn& column : flight.columns) {
    if (column.role == role) return column;
  }
  ADD_FAILURE() << "nothing was taken for " << role;
  return kNone;
}

TEST(SimulatorTable, Nominal) {
  const SimulatedFlight flight = Read(
      "t_s,x_m,y_m,vx_m_s,vy_m_s\n0.0,0.00,0.50,8.5,11.2\n0.5,4.25,6.00,8.1,5.5\n1.0,8.00,8.75,7.2,0.1\n"
      "1.5,11.50,7.25,6.8,-4.9\n");
  ExpectTheFlight(flight);
  ExpectAre(flight.vx_m_per_s, {8.5, 8.1, 7.2, 6.8});
  ExpectAre(flight.vy_m_per_s, {11.2, 5.5, 0.1, -4.9});
  EXPECT_THAT(flight.speed_m_per_s, IsEmpty());
  EXPECT_THAT(flight.x_std_m, IsEmpty());
  EXPECT_EQ(flight.file, "heron.csv");
  EXPECT_EQ(flight.columns.size(), 5U);
  EXPECT_EQ(ColumnOf(flight, "vx").column, "vx_m_s");
  EXPECT_EQ(ColumnOf(flight, "vx").unit, "m/s");
  EXPECT_FALSE(ColumnOf(flight, "vx").unit_assumed);
  EXPECT_EQ(flight.rows_left_out, 0);
}

TEST(SimulatorTable, TellsTheLastDigitOfEachColumn) {
  const SimulatedFlight flight = Read("Time (ms),x (ft),y (m)\n0,0.5,0.5\n500,1,6\n1e3,2.25,8.75\n");
  EXPECT_DOUBLE_EQ(flight.time_step_s, 1e-3);
  EXPECT_DOUBLE_EQ(flight.x_step_m, 0.01 * 0.3048);
  EXPECT_DOUBLE_EQ(flight.y_step_m, 0.01);
}

TEST(SimulatorTable, ReadsSemicolonsAndDecimalCommas) {
  ExpectTheFlight(
      Read("Time (s);Distance (m);Height (m)\n0,0;0,00;0,50\n0,5;4,25;6,00\n1,0;8,00;8,75\n1,5;11,5;7,25\n"));
}

TEST(SimulatorTable, ReadsTabs) {
  ExpectTheFlight(Read("time\tdownrange\taltitude\n0\t0\t0.5\n0.5\t4.25\t6\n1\t8\t8.75\n1.5\t11.5\t7.25\n"));
}

TEST(SimulatorTable, ReadsTabsAndDecimalCommas) {
  ExpectTheFlight(Read("time\tx\ty\n0\t0\t0,5\n0,5\t4,25\t6\n1\t8\t8,75\n1,5\t11,5\t7,25\n"));
}

TEST(SimulatorTable, ReadsColumnsSetWithBlanks) {
  ExpectTheFlight(Read(
      "  Time (s)   Distance (m)   Height (m)\n   0.00        0.00          0.50\n   0.50        4.25          6.00\n"
      "   1.00        8.00          8.75\n   1.50       11.50          7.25\n"));
  ExpectTheFlight(Read("Time (s) Height (m) x (m)\n0 0.5 0\n0.5 6 4.25\n1 8.75 8\n1.5 7.25 11.5\n"));
}

TEST(SimulatorTable, ReadsBlanksWithDecimalCommas) {
  ExpectTheFlight(Read("t x y\n0,0 0,00 0,50\n0,5 4,25 6,00\n1,0 8,00 8,75\n1,5 11,50 7,25\n"));
}

TEST(SimulatorTable, ReadsQuotedDecimalCommasBetweenCommas) {
  ExpectTheFlight(
      Read("\"t\",\"x\",\"y\"\n\"0,0\",\"0,0\",\"0,5\"\n\"0,5\",\"4,25\",\"6,0\"\n\"1,0\",\"8\",\"8,75\"\n"
           "\"1,5\",\"11,5\",\"7,25\"\n"));
}

TEST(SimulatorTable, TakesCommasFollowedByBlanks) {
  ExpectTheFlight(Read("t, x, y\n0, 0, 0.5\n0.5, 4.25, 6\n1, 8, 8.75\n1.5, 11.5, 7.25\n"));
}

TEST(SimulatorTable, PassesOverAByteOrderMarkAndReadsCrLf) {
  ExpectTheFlight(Read("\xEF\xBB\xBFtime,x,y\r\n0,0,0.5\r\n0.5,4.25,6\r\n1,8,8.75\r\n1.5,11.5,7.25\r\n"));
  ExpectTheFlight(Read("time,x,y\r0,0,0.5\r0.5,4.25,6\r1,8,8.75\r1.5,11.5,7.25"));
}

TEST(SimulatorTable, PassesOverRemarksOfManyKinds) {
  ExpectTheFlight(
      Read("# Heron, 12 g\n% run 4\n// wind 0 1 2\n! a, b, c\n* * *\n;note\ntime,x,y\n\n# start\n0,0,0.5\n0.5,4.25,6\n"
           "# top reached at 1.0 s\n1,8,8.75\n\n1.5,11.5,7.25\n# end\n"));
}

TEST(SimulatorTable, FindsTheNamesInARemark) {
  ExpectTheFlight(Read("# made on a Friday\n# t x y\n0 0 0.5\n0.5 4.25 6\n1 8 8.75\n1.5 11.5 7.25\n"));
  ExpectTheFlight(Read("# time (s), x (m), altitude (m)\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n"));
  ExpectTheFlight(Read("time,x,y\n# three, plain, words\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n"));
}

TEST(SimulatorTable, PassesOverTitles) {
  ExpectTheFlight(
      Read("Heron at Ebbing Hollow\nRun 3\n\nTime,Distance,Height\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n"));
}

TEST(SimulatorTable, ReadsARowOfUnits) {
  ExpectTheFlight(Read("Time,Distance,Height\nms,cm,mm\n0,0,500\n500,425,6000\n1000,800,8750\n1500,1150,7250\n"));
  ExpectTheFlight(
      Read("Time;Distance;Height;Mass\n[s];[m];[m];[kg]\n0;0;0,5;1\n0,5;4,25;6;1\n1;8;8,75;1\n1,5;11,5;7,25;1\n"));
  const SimulatedFlight flight = Read("t,x,y\n(s),(ft),-\n0,0,1\n1,10,2\n2,20,3\n");
  ExpectAre(flight.x_m, {0.0, 3.048, 6.096});
  EXPECT_TRUE(ColumnOf(flight, "y").unit_assumed);
}

TEST(SimulatorTable, ReadsFeetAndMilesAnHour) {
  const SimulatedFlight flight = Read(
      "Time (s),Downrange Distance (ft),Height (ft),Horizontal speed (mph),Vertical speed (ft/s)\n"
      "0,0,1,30,10\n1,100,40,20,0\n2,150,10,15,-10\n");
  ExpectAre(flight.x_m, {0.0, 30.48, 45.72});
  ExpectAre(flight.y_m, {0.3048, 12.192, 3.048});
  ExpectAre(flight.vx_m_per_s, {30 * 0.44704, 20 * 0.44704, 15 * 0.44704});
  ExpectAre(flight.vy_m_per_s, {3.048, 0.0, -3.048});
  EXPECT_EQ(ColumnOf(flight, "y").unit, "ft");
}

struct UnitCase {
  const char* header;
  double si;  // of the number 6
};

TEST(SimulatorTable, UnderstandsUnitsInHeaders) {
  const UnitCase lengths[] = {{"y", 6.0},
                              {"y_m", 6.0},
                              {"Height [cm]", 0.06},
                              {"height in feet", 1.8288},
                              {"Y(mm)", 0.006},
                              {"Altitude, ft", 1.8288},
                              {"h / m", 6.0},
                              {"height (in)", 0.1524},
                              {"Height (yd)", 5.4864},
                              {"alt_ft", 1.8288},
                              {"heightMm", 0.006},
                              {"y(t) [km]", 6000.0},
                              {"HEIGHT AGL (FT)", 1.8288},
                              {"altitude (metres)", 6.0},
                              {"y (centimeters)", 0.06}};
  for (const UnitCase& each : lengths) {
    const std::string name = "\"" + std::string(each.header) + "\"";
    const SimulatedFlight flight = Read("t;" + name + "\n0;1\n1;6\n2;3\n");
    ASSERT_EQ(flight.y_m.size(), 3U) << each.header;
    EXPECT_NEAR(flight.y_m[1], each.si, 1e-12 * each.si) << each.header;
  }
  const UnitCase speeds[] = {{"v", 6.0},
                             {"speed (km/h)", 6.0 / 3.6},
                             {"Velocity [kn]", 6.0 * 1852.0 / 3600.0},
                             {"velocity (knots)", 6.0 * 1852.0 / 3600.0},
                             {"v (m s^-1)", 6.0},
                             {"v (m\u00b7s\u207b\u00b9)", 6.0},
                             {"v_ms", 6.0},
                             {"total_velocity_ft_s", 1.8288},
                             {"Speed (ft/sec)", 1.8288},
                             {"speed, mph", 6.0 * 1609.344 / 3600.0},
                             {"speed (metres per second)", 6.0},
                             {"speed (cm/s)", 0.06}};
  for (const UnitCase& each : speeds) {
    const SimulatedFlight flight = Read("t;y;\"" + std::string(each.header) + "\"\n0;0;1\n1;1;6\n2;1;3\n");
    ASSERT_EQ(flight.speed_m_per_s.size(), 3U) << each.header;
    EXPECT_NEAR(flight.speed_m_per_s[1], each.si, 1e-12 * each.si) << each.header;
  }
  const UnitCase times[] = {{"t", 6.0},
                            {"time (ms)", 0.006},
                            {"Time, s", 6.0},
                            {"TIME [min]", 360.0},
                            {"time_ms", 0.006},
                            {"t / s", 6.0},
                            {"Elapsed time (sec)", 6.0},
                            {"time s", 6.0}};
  for (const UnitCase& each : times) {
    const SimulatedFlight flight = Read("\"" + std::string(each.header) + "\";y\n1;0\n6;1\n7;1\n");
    ASSERT_EQ(flight.time_s.size(), 3U) << each.header;
    EXPECT_NEAR(flight.time_s[1], each.si, 1e-12 * each.si) << each.header;
  }
}

TEST(SimulatorTable, TakesLetterCaseAndPunctuationAsTheyCome) {
  ExpectTheFlight(Read("TIME,down-range,Height_above-ground\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n"));
  ExpectTheFlight(Read("simulationTime,positionX,positionY\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n"));
}

TEST(SimulatorTable, PassesOverOtherColumnsAlsoOfText) {
  ExpectTheFlight(
      Read("phase,time,x,y,drag (N),remark\nrise,0,0,0.5,NaN,\nrise,0.5,4.25,6,0.1,\"fast, still\"\n"
           "fall,1,8,8.75,0.2,top\nfall,1.5,11.5,7.25,0.1,\n"));
}

TEST(SimulatorTable, PassesOverEmptyColumnsAndRowsAtTheEdges) {
  ExpectTheFlight(Read("time,x,y,,\n0,0,0.5,,\n0.5,4.25,6,,\n,,,,\n1,8,8.75,,\n1.5,11.5,7.25,,\n,,,,\n"));
  ExpectTheFlight(Read("time,x,y\n0,0,0.5,\n0.5,4.25,6,\n1,8,8.75,\n1.5,11.5,7.25,\n"));
}

TEST(SimulatorTable, LeavesOutGapsAtBeginningAndEnd) {
  const SimulatedFlight flight =
      Read("time,x,y\n-1,NaN,NaN\n-0.5,,\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n2,nan,n/a\n");
  ExpectTheFlight(flight);
  EXPECT_EQ(flight.rows_left_out, 3);
}

TEST(SimulatorTable, LeavesOutARowThatStandsTwice) {
  const SimulatedFlight flight = Read("time,x,y\n0,0,0.5\n0.5,4.25,6\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n");
  ExpectTheFlight(flight);
  EXPECT_EQ(flight.rows_left_out, 1);
}

TEST(SimulatorTable, ReadsNumbersAsProgramsWriteThem) {
  const SimulatedFlight flight =
      Read("t,x,y\n+0.0E+00,0.0D0,5e-1\n5.0E-01,.425D+01,6.\n1.0E+00,8,8.75\n1.5,1.15E1,\u22127.25\n");
  ExpectAre(flight.time_s, {0.0, 0.5, 1.0, 1.5});
  ExpectAre(flight.x_m, {0.0, 4.25, 8.0, 11.5});
  ExpectAre(flight.y_m, {0.5, 6.0, 8.75, -7.25});
}

TEST(SimulatorTable, ReadsLatin1) {
  ExpectTheFlight(Read("time,x,y,angle (\xB0)\n0,0,0.5,60\n0.5,4.25,6,40\n1,8,8.75,0\n1.5,11.5,7.25,-40\n"));
}

TEST(SimulatorTable, ReadsANameBrokenOverTwoLines) {
  ExpectTheFlight(Read("time,\"Distance\n(m)\",\"Height\n(m)\"\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n"));
}

TEST(SimulatorTable, ReadsHeightsAlone) {
  const SimulatedFlight flight = Read("Time,Altitude\n0,0.5\n0.5,6\n1,8.75\n1.5,7.25\n");
  EXPECT_THAT(flight.x_m, IsEmpty());
  ExpectAre(flight.y_m, {0.5, 6.0, 8.75, 7.25});
}

TEST(SimulatorTable, TakesZForTheHeightWhereThereIsNoOther) {
  ExpectTheFlight(Read("t,x,z\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n"));
}

// 3, 4, 5: the way over ground is 5 m for every 3 m of x and 4 m of y.
TEST(SimulatorTable, JoinsTwoHorizontalAxes) {
  const SimulatedFlight flight = Read(
      "t,x,y,z,vx,vy,vz,u_x,u_y,u_z\n0,1,1,0,3,4,9,0.1,0.1,0.3\n0.5,4,5,6,3,4,1,0.1,0.1,0.3\n1,7,9,8,3,4,-2,0.2,0.1,0."
      "3\n");
  ExpectAre(flight.x_m, {0.0, 5.0, 10.0});
  ExpectAre(flight.y_m, {0.0, 6.0, 8.0});
  ExpectAre(flight.vx_m_per_s, {5.0, 5.0, 5.0});
  ExpectAre(flight.vy_m_per_s, {9.0, 1.0, -2.0});
  ExpectAre(flight.y_std_m, {0.3, 0.3, 0.3});
  EXPECT_NEAR(flight.x_std_m[2], std::hypot(0.6 * 0.2, 0.8 * 0.1), 1e-12);
  EXPECT_EQ(ColumnOf(flight, "side").column, "y");
}

// A headwind carries it back over the launch: the distance goes below zero, and so does the speed.
TEST(SimulatorTable, KeepsTheSideOfAFlightThatIsCarriedBack) {
  const SimulatedFlight flight =
      Read("t,x,y,altitude,vx,vy\n0,0,0,0,6,8\n0.5,3,4,6,0,0\n1,0,0,9,-6,-8\n1.5,-3,-4,7,-6,-8\n");
  ExpectAre(flight.x_m, {0.0, 5.0, 0.0, -5.0});
  ExpectAre(flight.vx_m_per_s, {10.0, 0.0, -10.0, -10.0});
}

TEST(SimulatorTable, JoinsTwoHorizontalAxesBesideANamedHeight) {
  const SimulatedFlight flight = Read("t,x,y,altitude\n0,0,0,0\n0.5,3,4,6\n1,6,8,8\n");
  ExpectAre(flight.x_m, {0.0, 5.0, 10.0});
  ExpectAre(flight.y_m, {0.0, 6.0, 8.0});
}

TEST(SimulatorTable, TakesYForTheHeightWhereZNeverMoves) {
  const SimulatedFlight flight =
      Read("t,x,y,z,vx,vy,vz\n0,0,0.5,0,8,9,0\n0.5,4.25,6,0,8,5,0\n1,8,8.75,0,8,0,0\n1.5,11.5,7.25,0,8,-5,0\n");
  ExpectTheFlight(flight);
  ExpectAre(flight.vy_m_per_s, {9.0, 5.0, 0.0, -5.0});
}

TEST(SimulatorTable, ReadsStandardUncertainties) {
  const char* const headers[] = {"x_std_m,y_std_m,vx_std_m_s",
                                 "u_x,u_y,u_vx",
                                 "sigma_x (m),sigma_y (m),sigma_vx (m/s)",
                                 "x std,y sd,vx uncertainty",
                                 "u(x),u(y),u(vx)",
                                 "standard uncertainty of x,height standard deviation,horizontal speed std dev",
                                 "\u03c3_x,\u03c3_y,\u03c3_vx"};
  for (const char* const header : headers) {
    SCOPED_TRACE(header);
    const SimulatedFlight flight =
        Read("t,x,y,vx," + std::string(header) + "\n0,0,1,9,0.1,0.2,0.3\n1,8,5,8,0.2,0.3,0.4\n2,15,2,7,0.3,0.4,0.5\n");
    ExpectAre(flight.x_std_m, {0.1, 0.2, 0.3});
    ExpectAre(flight.y_std_m, {0.2, 0.3, 0.4});
    ExpectAre(flight.vx_std_m_per_s, {0.3, 0.4, 0.5});
  }
}

TEST(SimulatorTable, UsesASpeedOnlyWhereAPartIsMissing) {
  EXPECT_THAT(Read("t,y,vx,vy,speed\n0,0,1,2,3\n1,5,1,2,3\n2,0,1,2,3\n").speed_m_per_s, IsEmpty());
  ExpectAre(Read("t,y,vy,speed\n0,0,2,3\n1,5,2,3\n2,0,2,3\n").speed_m_per_s, {3.0, 3.0, 3.0});
}

TEST(SimulatorTable, TakesTheColumnsThatTheUserNames) {
  const std::string text =
      "when,far,up,Altitude,Height\n0,0,0.5,1,2\n0.5,4.25,6,1,2\n1,8,8.75,1,2\n1.5,11.5,7.25,1,2\n";
  ExpectTheFlight(Read(text, "time=when,x=far,y=up"));
  ExpectTheFlight(Read(text, "time=When, x = FAR ,y=3"));
  const SimulatedFlight feet = Read(text, "time=when,x=far [ft],y=Height");
  EXPECT_NEAR(feet.x_m[1], 4.25 * 0.3048, 1e-12);
  ExpectAre(feet.y_m, {2.0, 2.0, 2.0, 2.0});
  EXPECT_EQ(ColumnOf(feet, "x").unit, "ft");
  const SimulatedFlight quoted = Read("a;\"b, c\"\n0;1\n1;2\n2;1\n", "time=a,y=\"b, c\"");
  ExpectAre(quoted.y_m, {1.0, 2.0, 1.0});
  const SimulatedFlight unit_after = Read("a,apex_ft\n0,1\n1,2\n2,1\n", "time=a,y=apex_ft");
  EXPECT_NEAR(unit_after.y_m[1], 0.6096, 1e-12);
}

TEST(SimulatorTable, LeavesOutWhatTheUserDoesNotWant) {
  const std::string text = "t,x,y,vx,vy\n0,0,1,9,9\n1,5,6,9,0\n2,9,1,9,-9\n";
  const SimulatedFlight flight = Read(text, "vx=none,x=none");
  EXPECT_THAT(flight.vx_m_per_s, IsEmpty());
  EXPECT_THAT(flight.x_m, IsEmpty());
  ExpectAre(flight.vy_m_per_s, {9.0, 0.0, -9.0});
}

TEST(SimulatorTable, ReadsATableWithoutNamesByNumber) {
  ExpectTheFlight(Read("0 0 0.5\n0.5 4.25 6\n1 8 8.75\n1.5 11.5 7.25\n", "time=1,x=2,y=3"));
}

TEST(SimulatorTable, ReadsAFile) {
  const TemporaryFolder folder;
  const auto path = folder.Write("heron.txt", "t,x,y\n0,0,0.5\n0.5,4.25,6\n1,8,8.75\n1.5,11.5,7.25\n");
  const Expected<SimulatedFlight> flight = ReadSimulatedFlight(path);
  ASSERT_TRUE(flight);
  ExpectTheFlight(*flight);
  EXPECT_EQ(ReadSimulatedFlight(folder.path() / "none.csv").error().code, "cannot-read");
}

}  // namespace
}  // namespace loftline
