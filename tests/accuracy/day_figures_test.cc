// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/day_figures.h"

#include "tests/accuracy/drawn_days.h"

#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

JudgedDay DayOf(double truth, double low, double high) {
  JudgedDay day;
  day.kind = "kind";
  day.equal = truth == 0.0;
  day.pairs = {{truth, 0.5 * (low + high), low, high}};
  return day;
}

TEST(DayFigures, CountDaysAndPairs) {
  std::vector<JudgedDay> days = {DayOf(0, -1, 1), DayOf(0, 0.5, 1), DayOf(2, 1, 3), DayOf(2, -3, -1), DayOf(2, -1, 3)};
  days[0].together_p = 0.04;
  days[1].together_p = 0.06;
  days[2].pairs.push_back({0, 0.1, -1, 1.2});
  days.emplace_back().kind = "kind";  // could not be compared
  const DayFigures figures = FiguresOf(days);
  EXPECT_EQ(figures.days, 6);
  EXPECT_EQ(figures.compared, 5);
  EXPECT_EQ(figures.covered, 3);
  EXPECT_EQ(figures.pairs, 6);
  EXPECT_EQ(figures.pairs_covered, 4);
  EXPECT_EQ(figures.equal_days, 2);
  EXPECT_EQ(figures.false_days, 1);
  EXPECT_EQ(figures.together_days, 2);
  EXPECT_EQ(figures.together_false, 1);
  EXPECT_EQ(figures.true_differences, 4);
  EXPECT_EQ(figures.found, 2);
  EXPECT_EQ(figures.wrong_sign, 1);
  EXPECT_NEAR(figures.bias, (0 + 3 + 0 - 4 - 0.5 + 0.1 / 1.1) / 6, 1e-12);
}

TEST(DayFigures, OfAFamilyHoldOnlyTogether) {
  JudgedDay day = DayOf(0, -1, 1);
  day.pairs.push_back({0, 1, 0.5, 1.5});
  day.pairs.push_back({0, 0, -1, 1});
  const DayFigures figures = FiguresOf({day});
  EXPECT_EQ(figures.covered, 0);
  EXPECT_EQ(figures.pairs_covered, 2);
  EXPECT_EQ(figures.false_days, 1);
}

std::vector<JudgedDay> DaysCovering(int covered, int missed) {
  std::vector<JudgedDay> days(static_cast<std::size_t>(covered), DayOf(0, -1, 1));
  days.insert(days.end(), static_cast<std::size_t>(missed), DayOf(0, 1, 2));
  return days;
}

TEST(DayMisses, NameWhatChanceDoesNotExplain) {
  EXPECT_TRUE(DayMisses(DaysCovering(950, 50)).empty());
  EXPECT_EQ(DayMisses(DaysCovering(900, 100)).size(), 4U);  // coverage and false differences, of the kind and of all
  EXPECT_EQ(DayMisses(DaysCovering(925, 75)).size(), 2U);   // of all alone: 1000 days may be off by that in one kind
  EXPECT_EQ(DayMisses(DaysCovering(995, 5)).size(), 2U);    // intervals that are too wide
  EXPECT_EQ(DayMisses({JudgedDay{"kind", false, {}, {}, 0}}).size(), 2U);
}

// Two designs of five launches, all that may go wrong, 500 days of each kind: 9000 in all, so that by chance the share
// covered is off by 0.23 %. Nothing here may be missed by more than chance explains at 1 %.
TEST(DrawnDays, AreComparedAsTrulyAsIsWanted) {
  std::vector<DrawnDayKind> kinds = DrawnDayKinds();
  std::erase_if(kinds, [](const DrawnDayKind& kind) { return kind.spreads_m.size() != 2; });
  std::vector<JudgedDay> days = CompareDrawnDays(kinds, 81500, 500);
  EXPECT_EQ(DayMisses(days), std::vector<std::string>{}) << JudgedDayTable(days);
  EXPECT_LT(FiguresOf(days).mean_spared, 0.97);  // weighting pays

  // The same days would show it, were the intervals a fifth narrower.
  for (JudgedDay& day : days) {
    for (JudgedPair& pair : day.pairs) {
      const double half_width = 0.4 * (pair.high_95 - pair.low_95);
      pair.low_95 = pair.value - half_width;
      pair.high_95 = pair.value + half_width;
    }
  }
  EXPECT_FALSE(DayMisses(days).empty());
}

// The family of three designs with four launches each, in the hardest and the commonest kind.
TEST(DrawnDays, OfThreeDesignsHoldTogether) {
  std::vector<DrawnDayKind> kinds = DrawnDayKinds();
  std::erase_if(kinds, [](const DrawnDayKind& kind) {
    return kind.name != "3x4 = all of it, one survey" && kind.name != "3x4 < unequal stds";
  });
  ASSERT_EQ(kinds.size(), 2U);
  std::vector<JudgedDay> days = CompareDrawnDays(kinds, 81500, 60);
  std::vector<std::string> misses = DayMisses(days);
  std::erase_if(misses, [](const std::string& miss) { return miss.rfind("all:", 0) == 0; });  // only 120 days in all
  EXPECT_EQ(misses, std::vector<std::string>{}) << JudgedDayTable(days);
}

}  // namespace
}  // namespace loftline::accuracy
