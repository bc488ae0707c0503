// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/answers_json.h"

#include "report/answers.h"
#include "report/format_number.h"
#include "report/shown_budget.h"
#include "tests/report/example_flight.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

const Json& EntryOf(const Json& list, const std::string& key) {
  for (const Json& entry : list) {
    if (entry.at("key") == key) return entry;
  }
  ADD_FAILURE() << "no entry " << key;
  return list.at(0);
}

TEST(AnswersAsJson, SaysTheNumbersAsTheReportDoes) {
  const FlightResult flight = ExampleFlight();
  const Json json = AnswersAsJson(flight);
  const EstimateText speed = FormatPieces(*flight.flight.launch_speed_m_s);
  const Json& answer = EntryOf(json.at("answers"), "launch_speed_m_s");
  EXPECT_EQ(answer.at("text").at("value"), speed.value);
  EXPECT_EQ(answer.at("text").at("plus_minus"), speed.plus_minus);
  EXPECT_EQ(answer.at("main"), true);
  EXPECT_THAT(answer.at("sentence").get<std::string>(),
              testing::HasSubstr(answer.at("facts").at("km_h").get<std::string>() + " km/h"));
  EXPECT_EQ(json.at("answers").size(), Answers(flight).size());
  EXPECT_EQ(json.at("verdict"), VerdictName(flight.verdict));
  EXPECT_EQ(json.at("safety").size(), SafetyRules().size());
  for (const Json& plot : json.at("plots")) EXPECT_FALSE(plot.contains("still")) << plot.at("id");
}

TEST(AnswersAsJson, GivesAPathThatTurnsBackAsAStillDrawing) {
  FlightResult flight = ExampleFlight();
  flight.path.back().in_plane_m.x() = flight.path.front().in_plane_m.x() + 0.1;
  const Json json = AnswersAsJson(flight);
  ASSERT_EQ(json.at("plots").at(0).at("id"), "plot-height");
  EXPECT_THAT(json.at("plots").at(0).at("still").get<std::string>(), testing::StartsWith("<svg"));
  EXPECT_FALSE(json.at("plots").at(1).contains("still"));
}

TEST(AnswersAsJson, HasNoNumbersOfARefusedFlight) {
  FlightResult flight = ExampleFlight();
  flight.verdict = Verdict::kRefused;
  flight.findings = {{"no-rocket", Severity::kRefusal, "Nothing flies.", "Film the rocket."}};
  const Json json = AnswersAsJson(flight);
  EXPECT_EQ(json.at("findings").at(0).at("code"), "no-rocket");
  EXPECT_TRUE(json.at("answers").empty());
  EXPECT_TRUE(json.at("budget").empty());
  EXPECT_TRUE(json.at("plots").empty());
  EXPECT_TRUE(json.at("advice").empty());
}

TEST(ShownBudget, SumsUpWhatIsSmall) {
  // Shares are of variances: 3, 4 and 12 make 13 in quadrature (9 + 16 + 144 = 169).
  const std::vector<BudgetLine> lines = {{"yaw", 3.0, 9.0 / 169.0, "square up"},
                                         {"wind", 12.0, 144.0 / 169.0, "wait"},
                                         {"roll", 4.0, 16.0 / 169.0, "level"}};
  const std::vector<ShownBudgetLine> shown = ShownBudget(lines, 1);
  ASSERT_EQ(shown.size(), 2U);
  EXPECT_EQ(shown[0].source, "wind");
  EXPECT_EQ(shown[0].std, "12");
  EXPECT_EQ(shown[1].source, "all others");
  EXPECT_EQ(shown[1].std, "5.0");
  EXPECT_NEAR(shown[1].share, 25.0 / 169.0, 1e-12);
}

TEST(WhatToDoNext, NamesEachAdviceOnceWithItsLargestShare) {
  FlightResult flight = ExampleFlight();
  flight.budget = {{"launch_speed_m_s", {{"tape", 1.0, 0.3, "tape it"}, {"wind", 1.0, 0.7, "wait"}}},
                   {"range_m", {{"tape", 1.0, 0.9, "tape it"}, {"yaw", 1.0, 0.1, "square up"}}},
                   {"drag_per_m", {{"usual drag", 1.0, 1.0, "film it all"}}}};
  const std::vector<NextTime> next = WhatToDoNext(flight);
  ASSERT_EQ(next.size(), 2U);  // yaw's share is too small to be seen, and drag is no main number
  EXPECT_EQ(next[0].advice, "tape it");
  EXPECT_EQ(next[0].key, "range_m");
  EXPECT_EQ(next[1].advice, "wait");
}

}  // namespace
}  // namespace loftline
