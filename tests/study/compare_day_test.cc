// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/compare_day.h"

#include "study/comparison_sentences.h"
#include "tests/study/made_up_day.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <gmock/gmock.h>

namespace loftline {
namespace {

using testing::HasSubstr;

ComparedQuantity QuantityOf(const Comparison& comparison, const std::string& key) {
  const auto found = std::ranges::find(comparison.quantities, key, &ComparedQuantity::key);
  if (found == comparison.quantities.end()) throw std::runtime_error("no quantity " + key);
  return *found;
}

bool Warns(const Comparison& comparison, const std::string& code) {
  return std::ranges::count(comparison.warnings, code, &Finding::code) > 0;
}

Comparison Compared(const DaySummary& day, const CompareOptions& options = {}) {
  Expected<Comparison> comparison = CompareDays({day}, options);
  if (!comparison) throw std::runtime_error(Describe(comparison.error()));
  return *comparison;
}

// Scatter of the drag from launch to launch, relative; without a pattern in the order.
constexpr double kScatter[] = {0.03, -0.02, 0.01, -0.03, 0.02, -0.01};

// Heron and Puffin in turn, Puffin with more drag; each with its own speed.
std::vector<MadeUpLaunch> InTurn(double heron_speed, double puffin_speed, double puffin_drag, int rounds = 5) {
  std::vector<MadeUpLaunch> launches;
  for (int i = 0; i < rounds; ++i) {
    const double push = 0.3 * ((i * 2) % 5 - 2);
    launches.push_back({"Heron", heron_speed + push, 60.0, 0.030 * (1.0 + kScatter[i % 6])});
    launches.push_back({"Puffin", puffin_speed - push, 60.0, puffin_drag * (1.0 + kScatter[(i + 2) % 6])});
  }
  return launches;
}

TEST(CompareDays, RanksByTheStandardLaunchWhereThePushMisleads) {
  // Heron has less drag, but was pushed less.
  const Comparison comparison = Compared(MakeUpDay(InTurn(18.0, 25.0, 0.045)));
  ASSERT_EQ(comparison.designs.size(), 2U);
  EXPECT_EQ(comparison.designs[0].name, "Heron");
  const PairComparison raw = QuantityOf(comparison, "range_m").pairs.at(0);
  const PairComparison standard = QuantityOf(comparison, "standard_range_m").pairs.at(0);
  EXPECT_GT(raw.difference.difference.low_95, 0.0) << "as launched, Puffin flew further";
  EXPECT_LT(standard.difference.difference.high_95, 0.0) << "at the same push, Heron does";
  EXPECT_THAT(standard.sentence,
              testing::MatchesRegex("Heron flies [0-9.]+ m further than Puffin at the same push .*"));
  EXPECT_THAT(raw.sentence, testing::MatchesRegex("Puffin flew [0-9.]+ m further than Heron as launched .*"));
  EXPECT_EQ(comparison.headline, standard.sentence);
  EXPECT_TRUE(Warns(comparison, "push-differs"));
  EXPECT_NEAR(comparison.standard.speed_m_s, 21.5, 1.5);
}

TEST(CompareDays, StandardRangeIsThatOfTheTrueRocket) {
  MadeUpLaunch launch{"Heron", 24.0, 55.0, 0.04};
  const Comparison comparison = Compared(MakeUpDay({launch, launch}));
  // The standard launch is then the launch itself, so that its range is that of the day: by GSL, in MakeUpDay.
  const double raw_m = QuantityOf(comparison, "range_m").values[0].value.value;
  EXPECT_NEAR(QuantityOf(comparison, "standard_range_m").values[0].value.value, raw_m, 1e-6 * raw_m);
  ASSERT_EQ(comparison.paths.size(), 1U);
  EXPECT_NEAR(comparison.paths[0].range_m, raw_m, 1e-6 * raw_m);
  EXPECT_NEAR(comparison.paths[0].samples.back().x_m, raw_m, 1e-6 * raw_m);
}

TEST(CompareDays, ABandGoesOnUntilItsHigherEndHasLanded) {
  const MadeUpLaunch thin{"Heron", 24.0, 55.0, 0.038}, thick{"Heron", 24.0, 55.0, 0.042};
  const Comparison comparison = Compared(MakeUpDay({thin, thick, thin, thick}));
  ASSERT_EQ(comparison.paths.size(), 1U);
  const StandardPath& path = comparison.paths[0];
  const double landing_m = -comparison.standard.height_above_landing_m;
  ASSERT_FALSE(path.beyond.empty());
  EXPECT_GT(path.samples.back().high_y_m, landing_m);
  EXPECT_LE(path.beyond.back().high_y_m, landing_m);
  for (const StandardPath::Sample& sample : path.beyond) {
    EXPECT_GT(sample.x_m, path.range_m);
    EXPECT_GT(sample.high_y_m, sample.y_m);
    EXPECT_LT(sample.low_y_m, sample.y_m);
  }
}

TEST(CompareDays, AnotherAirIsAllowedFor) {
  MadeUpLaunch launch{"Heron", 24.0, 55.0, 0.04};
  DaySummary day = MakeUpDay({launch, launch, launch});
  // The same rocket in thinner air: k goes with the density.
  FlightOutcome& thin = day.flights[2].outcome;
  thin.air_density_kg_per_m3 *= 0.9;
  thin.flight.drag_per_m->value *= 0.9;
  const ComparedQuantity range = QuantityOf(Compared(day), "standard_range_m");
  EXPECT_NEAR(range.values[2].value.value, range.values[0].value.value, 1e-9);
}

TEST(CompareDays, OfOneSurveyTheSharedMistakeCancels) {
  const auto std_of = [](double share, const std::string& puffin_survey) {
    std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.031);
    for (MadeUpLaunch& launch : launches) {
      launch.drag_std = 0.05;
      launch.survey_share = share;
      if (launch.design == "Puffin") launch.survey = puffin_survey;
    }
    return QuantityOf(Compared(MakeUpDay(launches)), "drag_area_cm2").pairs.at(0).difference.difference.std;
  };
  const double alone = std_of(0.0, "meadow");
  EXPECT_NEAR(std_of(0.8, "meadow"), alone, 0.02 * alone);
  // With a survey for each design, sqrt(0.8) of 5 % of either mean comes on top: 2 m k / rho = 3.3 cm^2.
  const double extra = std::sqrt(2.0 * 0.8) * 0.05 * 3.3;
  EXPECT_NEAR(std_of(0.8, "shore"), std::hypot(alone, extra), 0.05 * extra);
}

TEST(CompareDays, WithoutADifferenceItSaysWhatWouldTell) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.030, 3);
  launches[0].drag_per_m *= 1.2;
  launches[1].drag_per_m *= 0.85;
  const Comparison comparison = Compared(MakeUpDay(launches), {.worth_knowing_m = 1.0});
  const PairComparison pair = QuantityOf(comparison, "standard_range_m").pairs.at(0);
  ASSERT_FALSE(pair.differ);
  ASSERT_TRUE(pair.more_launches_each.has_value());
  EXPECT_THAT(pair.sentence, HasSubstr("Cannot tell "));
  EXPECT_THAT(pair.sentence, HasSubstr("of each would show a difference of 1 m."));
}

TEST(CompareDays, WhichFlightsCountIsARule) {
  DaySummary day = MakeUpDay(InTurn(22.0, 22.0, 0.045));
  day.flights[0].outcome.outcome = Outcome::kRefused;
  day.flights[0].outcome.findings = {{"no-rocket", Severity::kRefusal, "Nothing flies.", "Film it again."}};
  day.flights[1].outcome.verdict = Verdict::kCaution;
  day.flights[1].outcome.findings = {{"drag-not-measurable", Severity::kCaution, "Too short.", ""}};
  day.flights[2].outcome.verdict = Verdict::kCaution;
  day.flights[2].outcome.findings = {{"apogee-extrapolated", Severity::kCaution, "Not seen.", ""}};
  day.flights[3].outcome.findings = {{"rulers-disagree", Severity::kCaution, "Metres in doubt.", ""}};
  const Comparison comparison = Compared(day);
  EXPECT_EQ(QuantityOf(comparison, "range_m").values.size(), 8U);           // without 0 and 3
  EXPECT_EQ(QuantityOf(comparison, "standard_range_m").values.size(), 7U);  // nor 1
  EXPECT_EQ(comparison.flights[0].why_not, "Nothing flies. Film it again.");
  EXPECT_FALSE(comparison.flights[0].used);
  EXPECT_THAT(comparison.flights[1].why_not, HasSubstr("Too little of its arc"));
  EXPECT_TRUE(comparison.flights[1].used);
  EXPECT_EQ(comparison.designs[0].launched, 5);
  EXPECT_EQ(comparison.designs[0].used, 4);
  const Comparison strict = Compared(day, {.accepted_only = true});
  EXPECT_EQ(QuantityOf(strict, "range_m").values.size(), 6U);
}

TEST(CompareDays, WithoutAnyFlightRefuses) {
  DaySummary day = MakeUpDay(InTurn(22.0, 22.0, 0.045, 1));
  for (FlightRecord& flight : day.flights) flight.outcome.outcome = Outcome::kUnreadable;
  const Expected<Comparison> comparison = CompareDays({day}, {});
  ASSERT_FALSE(comparison);
  EXPECT_EQ(comparison.error().code, "no-flights");
  EXPECT_EQ(comparison.error().kind, ErrorKind::kRefused);
}

TEST(CompareDays, GroupsByADesignVariable) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.045);
  for (std::size_t i = 0; i < launches.size(); ++i) launches[i].variables = {i % 4 < 2 ? "3" : "4", "blue"};
  const DaySummary day = MakeUpDay(launches, {"fins", "colour"});
  const Comparison comparison = Compared(day, {.variable = "fins"});
  ASSERT_EQ(comparison.designs.size(), 2U);
  EXPECT_EQ(comparison.designs[0].name, "fins 3");
  EXPECT_EQ(comparison.designs[1].name, "fins 4");
  const Expected<Comparison> unknown = CompareDays({day}, {.variable = "fims"});
  ASSERT_FALSE(unknown);
  EXPECT_THAT(unknown.error().message, HasSubstr("Did you mean \"fins\"?"));
}

TEST(CompareDays, ComparesSeveralDaysTogether) {
  const DaySummary first = MakeUpDay({{"Heron"}, {"Puffin"}, {"Heron"}}, {});
  DaySummary second = MakeUpDay({{"Puffin"}, {"Heron"}, {"Puffin"}}, {"nose"});
  second.folder = "second";
  const Expected<Comparison> comparison = CompareDays({first, second}, {});
  ASSERT_TRUE(comparison);
  EXPECT_EQ(comparison->days.size(), 2U);
  EXPECT_EQ(comparison->designs.size(), 2U);
  EXPECT_EQ(comparison->designs[0].used, 3);
  EXPECT_EQ(comparison->flights[3].day, 1U);
  EXPECT_EQ(comparison->flights[3].record.row.variables.size(), 1U);
}

TEST(CompareDays, SaysOfSeveralPairsThatTheyCannotBeToldApart) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.045);
  for (const double drag_per_m : {0.030, 0.046}) launches.push_back({"Curlew", 22.0, 60.0, drag_per_m});
  EXPECT_THAT(Compared(MakeUpDay(launches)).headline,
              testing::HasSubstr(" m. Heron and Curlew cannot be told apart yet, nor can Puffin and Curlew."));
}

TEST(CompareDays, MoreThanTwoDesignsAreTestedTogether) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.045);
  for (int i = 0; i < 4; ++i) launches.push_back({"Curlew", 22.0, 60.0, 0.031 * (1.0 + kScatter[i])});
  const Comparison comparison = Compared(MakeUpDay(launches));
  EXPECT_THAT(
      comparison.headline,
      testing::MatchesRegex("Range at the standard launch: Heron [0-9.]+ m, Curlew [0-9.]+ m, Puffin [0-9.]+ m\\. "
                            "Heron and Curlew cannot be told apart yet\\."));
  const ComparedQuantity range = QuantityOf(comparison, "standard_range_m");
  ASSERT_TRUE(range.together.has_value());
  EXPECT_LT(range.together->p, 0.001);
  EXPECT_EQ(range.pairs.size(), 3U);
  EXPECT_FALSE(range.pairs[1].differ) << "Heron and Curlew";
  EXPECT_GT(*range.share_by_design, 0.5);
}

// --- warnings, each from both sides

TEST(DayWarnings, SayNothingOfASoundDay) {
  const Comparison comparison = Compared(MakeUpDay(InTurn(22.0, 22.0, 0.045)));
  EXPECT_TRUE(comparison.warnings.empty()) << comparison.warnings.front().message;
}

TEST(DayWarnings, NameTheVariablesWhereMoreThanOneDiffers) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.045);
  for (MadeUpLaunch& launch : launches) {
    const bool heron = launch.design == "Heron";
    launch.variables = {heron ? "ogive" : "blunt", heron ? "3" : "4", "30"};
  }
  const Comparison comparison = Compared(MakeUpDay(launches, {"nose", "fins", "length_cm"}));
  ASSERT_TRUE(Warns(comparison, "several-variables"));
  EXPECT_EQ(comparison.warnings[0].message, "The groups differ in more than one thing: nose, fins.");
  for (MadeUpLaunch& launch : launches) launch.variables[1] = "3";
  EXPECT_FALSE(Warns(Compared(MakeUpDay(launches, {"nose", "fins", "length_cm"})), "several-variables"));
  launches[0].variables[0] = "cone";
  EXPECT_TRUE(Warns(Compared(MakeUpDay(launches, {"nose", "fins", "length_cm"})), "design-not-uniform"));
}

TEST(DayWarnings, SayWhereOneDesignWasLaunchedFirst) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.045);
  std::ranges::stable_sort(launches, std::greater(), &MadeUpLaunch::design);
  const Comparison comparison = Compared(MakeUpDay(launches));
  ASSERT_TRUE(Warns(comparison, "order-not-shuffled"));
  EXPECT_EQ(comparison.warnings[0].message, "All of Puffin were launched before all of Heron.");
}

TEST(DayWarnings, TheOrderIsThatOfTheLaunchNumbers) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.045);
  std::ranges::stable_sort(launches, std::greater(), &MadeUpLaunch::design);
  DaySummary day = MakeUpDay(launches);
  const char* const numbers[] = {"1", "3", "5", "7", "9", "2", "4", "6", "8", "10"};
  for (std::size_t i = 0; i < day.flights.size(); ++i) day.flights[i].row.launch = numbers[i];
  EXPECT_FALSE(Warns(Compared(day), "order-not-shuffled"));
  day.flights[9].row.launch = "9";  // no longer each once: the table's rows say the order
  EXPECT_TRUE(Warns(Compared(day), "order-not-shuffled"));
}

TEST(DayWarnings, SeeADriftOverTheDay) {
  std::vector<MadeUpLaunch> launches = InTurn(22.0, 22.0, 0.045);
  EXPECT_FALSE(Warns(Compared(MakeUpDay(launches)), "day-drifts"));
  for (std::size_t i = 0; i < launches.size(); ++i) launches[i].speed_m_s -= 0.5 * static_cast<double>(i);
  EXPECT_TRUE(Warns(Compared(MakeUpDay(launches)), "day-drifts"));
}

TEST(DayWarnings, CountFlightsAndWeighRockets) {
  EXPECT_TRUE(Warns(Compared(MakeUpDay(InTurn(22.0, 22.0, 0.045, 2))), "few-flights"));
  DaySummary day = MakeUpDay(InTurn(22.0, 22.0, 0.045));
  for (FlightRecord& flight : day.flights) {
    if (flight.row.design == "Puffin") flight.row.mass_kg->value *= 1.2;
  }
  EXPECT_TRUE(Warns(Compared(day), "masses-differ"));
  day.flights[4].outcome.outcome = Outcome::kMissing;
  EXPECT_TRUE(Warns(Compared(day), "day-incomplete"));
}

TEST(TapeAgreement, TellsWhatTheTapeSays) {
  DaySummary day = MakeUpDay(InTurn(22.0, 22.0, 0.045));
  EXPECT_FALSE(Compared(day).tape.has_value());
  const double errors_m[] = {0.1, -0.1, 0.15, -0.05, 0.0};
  for (std::size_t i = 0; i < 5; ++i) {
    const double range_m = day.flights[i].outcome.flight.range_m->value;
    day.flights[i].row.tape_range_m = Measured{range_m - errors_m[i], 0.05};
  }
  const Comparison sound = Compared(day);
  ASSERT_TRUE(sound.tape.has_value());
  EXPECT_NEAR(sound.tape->mean_difference_m->value, 0.02, 1e-9);     // by hand
  EXPECT_NEAR(sound.tape->spread_m, std::sqrt(0.0430 / 4.0), 1e-9);  // 0.01+0.01+0.0225+0.0025 - 5*0.0004 = 0.043
  EXPECT_THAT(sound.tape->sentence, HasSubstr("their uncertainties explain the differences"));
  EXPECT_FALSE(Warns(sound, "tape-disagrees"));
  for (std::size_t i = 0; i < 5; ++i) day.flights[i].row.tape_range_m->value *= 1.1;
  EXPECT_TRUE(Warns(Compared(day), "tape-disagrees"));
}

}  // namespace
}  // namespace loftline
