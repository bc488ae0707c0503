// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The statistics behind the statements about intervals and verdicts.
#include "tests/accuracy/interval_figures.h"

#include "tests/accuracy/binomial.h"
#include "tests/accuracy/interval_table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

TEST(BinomialTest, EqualsSumsThatCanBeDoneByHand) {
  EXPECT_NEAR(BinomialTest(0, 5, 0.5), 2.0 / 32, 1e-12);       // no heads or all of them
  EXPECT_NEAR(BinomialTest(2, 10, 0.5), 112.0 / 1024, 1e-12);  // 2 (1 + 10 + 45) of 1024
  EXPECT_NEAR(BinomialTest(5, 10, 0.5), 1.0, 1e-12);
  // Three dice, three sixes: all other outcomes are likelier.
  EXPECT_NEAR(BinomialTest(3, 3, 1.0 / 6), 1.0 / 216, 1e-12);
  // Of 4 at 0.9: 0, 1 and 2 are no likelier than 2: 0.0001 + 0.0036 + 0.0486.
  EXPECT_NEAR(BinomialTest(2, 4, 0.9), 0.0523, 1e-12);
  EXPECT_EQ(BinomialTest(0, 0, 0.95), 1.0);
}

// Mendel's peas as the manual of R's binom.test has them (Conover 1971, p. 97): 682 of 925 against 3/4, p = 0.3825.
// Quoted from memory.
TEST(BinomialTest, EqualsThePublishedExample) {
  EXPECT_NEAR(BinomialTest(682, 925, 0.75), 0.3825, 5e-5);
}

JudgedFlight Flight(const std::string& kind, double error, double std = 1.0, const std::string& verdict = "accepted") {
  JudgedFlight flight;
  flight.kind = kind;
  flight.name = kind + "-x";
  flight.verdict = verdict;
  flight.measured = verdict == "accepted" || verdict == "caution";
  for (const char* name : {"launch_speed_m_s", "launch_angle_deg", "drag_coefficient", "apogee_m", "range_m"}) {
    const double value = 100.0 + error;
    flight.quantities[name] = {100.0, value, std, value - 1.96 * std, value + 1.96 * std};
  }
  return flight;
}

TEST(Coverage, Nominal) {
  std::vector<JudgedFlight> flights{Flight("plain", 1.0), Flight("plain", -1.0), Flight("plain", 3.0)};
  flights.push_back(Flight("plain", 50.0, 1.0, "refused"));  // has no say
  flights[0].bound_std["launch_speed_m_s"] = 0.5;
  const CoverageFigures figures = CoverageOf(flights, "launch_speed_m_s");
  EXPECT_EQ(figures.inside, 2);
  EXPECT_EQ(figures.count, 3);
  EXPECT_NEAR(figures.p_value, 1 - 0.95 * 0.95 * 0.95, 1e-12);
  EXPECT_NEAR(figures.mean_squared_std, 11.0 / 3, 1e-12);
  EXPECT_NEAR(figures.rms_relative, std::sqrt(11.0 / 3) / 100, 1e-12);
  EXPECT_NEAR(figures.median_half_width, 0.0196, 1e-12);
  EXPECT_NEAR(figures.rms_over_bound, 2.0, 1e-12);
}

TEST(SilentlyWrong, CatchesStandardUncertaintiesAndPerCent) {
  EXPECT_THAT(SilentlyWrong(Flight("plain", 3.9)), IsEmpty());
  EXPECT_THAT(SilentlyWrong(Flight("plain", 4.1)), HasSubstr("launch_speed_m_s"));
  EXPECT_THAT(SilentlyWrong(Flight("plain", -10.5, 20.0)), HasSubstr("-10.5 %"));
  EXPECT_THAT(SilentlyWrong(Flight("plain", 50.0, 1.0, "caution")), IsEmpty());
  EXPECT_THAT(SilentlyWrong(Flight("plain", std::nan(""))), HasSubstr("launch_speed_m_s"));
}

// Twenty flights: one outside is as it should be, all inside is too much of a good thing, three outside too little.
TEST(IntervalMisses, JudgesTheShareInside) {
  std::vector<JudgedFlight> flights(19, Flight("plain", 0.5));
  flights.push_back(Flight("plain", 2.5));
  EXPECT_THAT(IntervalMisses(flights), IsEmpty());
  flights.back() = Flight("plain", 0.5);
  EXPECT_THAT(IntervalMisses(flights), Contains(HasSubstr("100.0 % of 20 truths inside")));
  for (std::size_t i = 0; i < 3; ++i) flights[i] = Flight("plain", 2.5);
  EXPECT_THAT(IntervalMisses(flights), Contains(HasSubstr("range_m: 85.0 % of 20")));
}

TEST(IntervalMisses, JudgesEachKind) {
  std::vector<JudgedFlight> flights(200, Flight("plain", 0.5));
  for (int i = 0; i < 10; ++i) flights.push_back(Flight("wind", 2.5));  // 95.2 % inside, but all of them of one kind
  EXPECT_THAT(IntervalMisses(flights), Contains(HasSubstr("apogee_m of wind: 0 of 10")));
  EXPECT_THAT(IntervalMisses(flights), Not(Contains(HasSubstr("wanted"))));
}

TEST(IntervalMisses, JudgesTheBoundAndVerdicts) {
  std::vector<JudgedFlight> flights(19, Flight("plain", 0.5));
  flights.push_back(Flight("plain", 2.5));
  for (JudgedFlight& flight : flights) flight.bound_std["apogee_m"] = 0.3;
  EXPECT_THAT(IntervalMisses(flights), ElementsAre(HasSubstr("apogee_m: RMS error 2.")));
  for (JudgedFlight& flight : flights) flight.bound_std.clear();
  flights[3].verdict = "caution";
  flights[3].cautions = {"apogee-extrapolated"};
  EXPECT_THAT(IntervalMisses(flights), ElementsAre(HasSubstr("1 of 20 sound flights wrongly cautioned")));
  flights[3].kind = "launch-only";  // there it is right to say so
  EXPECT_THAT(IntervalMisses(flights), IsEmpty());
  flights[4] = Flight("plain", 4.5, 1.1);
  EXPECT_THAT(IntervalMisses(flights), Contains(HasSubstr("accepted, but wrong: plain-x: launch_speed_m_s +4.5 %")));
}

TEST(JudgeResult, ReadsNumbersCautionsAndGaps) {
  const nlohmann::json result = {
      {"verdict", "caution"},
      {"findings",
       {{{"code", "rulers-disagree"}, {"severity", "caution"}},
        {{"code", "landing-extrapolated"}, {"severity", "note"}}}},
      {"flight",
       {{"direction", "right"},
        {"launch_speed_m_s", {{"value", 20.5}, {"std", 0.2}, {"low_95", 20.1}, {"high_95", 20.9}}},
        {"drag_coefficient", nullptr}}}};
  const JudgedFlight judged = JudgeResult(result, {{"launch_speed_m_s", 20.0}, {"drag_coefficient", 0.5}});
  EXPECT_TRUE(judged.measured);
  EXPECT_THAT(judged.cautions, ElementsAre("rulers-disagree"));
  ASSERT_NE(judged.Find("launch_speed_m_s"), nullptr);
  EXPECT_FALSE(judged.Find("launch_speed_m_s")->inside());
  EXPECT_NEAR(judged.Find("launch_speed_m_s")->in_stds(), 2.5, 1e-9);
  EXPECT_EQ(judged.Find("drag_coefficient"), nullptr);
}

TEST(JudgeResult, TakesARefusedResultForUnmeasured) {
  const nlohmann::json refused = {{"verdict", "refused"},
                                  {"findings", {{{"code", "time-base-suspect"}, {"severity", "refusal"}}}},
                                  {"flight", nullptr}};
  const JudgedFlight judged = JudgeResult(refused, {{"launch_speed_m_s", 20.0}});
  EXPECT_FALSE(judged.measured);
  EXPECT_FALSE(judged.accepted());
  EXPECT_THAT(judged.cautions, ElementsAre("time-base-suspect"));
  EXPECT_EQ(VerdictsOf({judged}).refused, 1);
}

TEST(IntervalTables, NameKindsAndStarWhatIsUnlikely) {
  std::vector<JudgedFlight> flights(10, Flight("plain", 0.5));
  for (int i = 0; i < 10; ++i) flights.push_back(Flight("wind", 2.5));
  EXPECT_THAT(CoverageTable(flights), HasSubstr("0 of   10 *"));
  EXPECT_THAT(CoverageTable(flights), HasSubstr("10 of   10  "));
  EXPECT_THAT(ErrorTable(flights), HasSubstr("6.25"));
  EXPECT_THAT(VerdictTable(flights), HasSubstr("wind"));
}

}  // namespace
}  // namespace loftline::accuracy
