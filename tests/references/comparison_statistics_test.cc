// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Comparisons of pairs, effect sizes, permutations and power, against published values and R.

#include "core/distributions.h"
#include "study/statistics.h"
#include "tests/references/grouped_data.h"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

namespace loftline {
namespace {

std::vector<double> FirstOf(const std::vector<double>& values, std::ptrdiff_t count) {
  return {values.begin(), values.begin() + count};
}

// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3 (miles per gallon of US and Japanese cars): t -12.94627,
// 136.8750 degrees of freedom; further digits and the interval with R 4.2.2: t.test(US, Japan).
TEST(Compare, GivesTheHandbooksWelchTest) {
  const auto groups = ReadGroups("nist_handbook_AUTO83B.csv", "origin", "mpg");
  ASSERT_EQ(groups.size(), 2U);
  ASSERT_EQ(groups[0].size(), 249U);
  const auto difference = Compare(PlainMean(groups[0]), PlainMean(groups[1]));
  ASSERT_TRUE(difference);
  EXPECT_NEAR(difference->t, 12.9462732749, 1e-9);  // Japan minus US
  EXPECT_NEAR(difference->df, 136.874976673, 1e-8);
  EXPECT_NEAR(difference->p / 1.571e-25, 1, 5e-4);
  EXPECT_NEAR(difference->difference.low_95, 8.7576206, 5e-8);
  EXPECT_NEAR(difference->difference.high_95, 11.9152481, 5e-8);
}

// Student (Biometrika 6 (1908) 1), R's sleep, taken as unpaired; computed with R 4.2.2: t.test(extra ~ group, sleep).
TEST(Compare, GivesRsWelchTestOnSleep) {
  const auto groups = ReadGroups("sleep.csv", "group", "extra");
  const auto difference = Compare(PlainMean(groups[0]), PlainMean(groups[1]));
  ASSERT_TRUE(difference);
  EXPECT_NEAR(difference->t, 1.860813467, 1e-9);
  EXPECT_NEAR(difference->df, 17.77647352, 1e-8);
  EXPECT_NEAR(difference->p, 0.07939414, 1e-8);
  EXPECT_NEAR(difference->difference.low_95, -0.2054832, 1e-7);
  EXPECT_NEAR(difference->difference.high_95, 3.3654832, 1e-7);
}

struct PairCase {
  std::size_t one, other;
  double difference, low, high, t, df, p;
};

void CheckGamesHowell(const std::vector<std::vector<double>>& groups, const std::vector<PairCase>& pairs) {
  for (const PairCase& pair : pairs) {
    const auto found = Compare(PlainMean(groups[pair.one]), PlainMean(groups[pair.other]), groups.size());
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->difference.value, pair.difference, 1e-9);
    EXPECT_NEAR(found->difference.low_95, pair.low, 1e-6 * std::abs(pair.low));
    EXPECT_NEAR(found->difference.high_95, pair.high, 1e-6 * std::abs(pair.high));
    EXPECT_NEAR(found->t, pair.t, 1e-9);
    EXPECT_NEAR(found->df, pair.df, 1e-8);
    EXPECT_NEAR(found->p, pair.p, 1e-8);
  }
}

// Computed with R 4.2.2, from the definition, for each pair of groups (m, v, n: means, variances, counts; k groups):
//   se2 <- v1/n1 + v2/n2; df <- se2^2 / ((v1/n1)^2/(n1-1) + (v2/n2)^2/(n2-1)); t <- (m2 - m1) / sqrt(se2)
//   (m2 - m1) + c(-1, 1) * qtukey(0.95, k, df) * sqrt(se2/2); ptukey(abs(t) * sqrt(2), k, df, lower.tail = FALSE)
TEST(Compare, GivesGamesAndHowellsComparisons) {
  CheckGamesHowell(ReadGroups("plantgrowth.csv", "group", "weight"),
                   {{0, 1, -0.371, -1.1720875015, 0.430087501502, -1.19126038185, 16.5235850569, 0.474554922194},
                    {0, 2, 0.494, -0.100554433333, 1.08855443333, 2.13402045312, 16.7857644826, 0.112889176854},
                    {1, 2, 0.865, 0.113512993317, 1.61648700668, 3.01009854212, 14.1035691228, 0.0237034547392}});
  // R's chickwts (Anonymous, Biometrika 35 (1948) 214): six feeds with 10 to 14 chicks each, the first three here:
  // casein, horsebean, linseed, of a family of six.
  const std::vector<std::vector<double>> chicks = {{368, 390, 379, 260, 404, 318, 352, 359, 216, 222, 283, 332},
                                                   {179, 160, 136, 227, 217, 168, 108, 124, 143, 140},
                                                   {309, 229, 181, 141, 260, 203, 148, 169, 213, 257, 244, 271},
                                                   {},
                                                   {},
                                                   {}};
  CheckGamesHowell(
      chicks,
      {{0, 1, -163.383333333333, -233.950009424, -92.816657243, -7.3422577498, 18.3597450961, 9.43590003943e-06},
       {0, 2, -104.833333333333, -179.712124573, -29.9545420934, -4.37811044439, 21.0973548227, 0.00310157977384},
       {1, 2, 58.55, -2.5173478946, 119.617347895, 3.0171746038, 19.7687204546, 0.0649384324317}});
}

// Tukey's own comparisons (one pooled variance) are not offered; that its distribution is the one used is shown with
// R 4.2.2's TukeyHSD(aov(weight ~ group, PlantGrowth)).
TEST(StudentizedRange, GivesTukeysComparisonsOnPlantGrowth) {
  const auto groups = ReadGroups("plantgrowth.csv", "group", "weight");
  const OneWayAnova anova = AnalyseVariance(groups);
  const double error = std::sqrt(anova.ms_within / 10);  // 10 values in each group
  const double half_width = StudentizedRangeQuantile(0.95, 3, anova.df_within) * error;
  const PairCase pairs[] = {{0, 1, -0.371, -1.0622161, 0.3202161, 0, 0, 0.390871144},
                            {0, 2, 0.494, -0.1972161, 1.1852161, 0, 0, 0.197995991},
                            {1, 2, 0.865, 0.1737839, 1.5562161, 0, 0, 0.012006424}};
  for (const PairCase& pair : pairs) {
    const double difference = PlainMean(groups[pair.other]).mean - PlainMean(groups[pair.one]).mean;
    EXPECT_NEAR(difference - half_width, pair.low, 1e-6);
    EXPECT_NEAR(difference + half_width, pair.high, 1e-6);
    EXPECT_NEAR(StudentizedRangeTail(std::abs(difference) / error, 3, anova.df_within), pair.p, 1e-8);
  }
}

struct EffectCase {
  std::vector<double> one, other;
  double g, low, high;
};

// Computed with R 4.2.2, with t and df of t.test(other, one), v1 and v2 the variances:
//   s <- sqrt((v1 + v2)/2); dfs <- (v1 + v2)^2 / (v1^2/(n1-1) + v2^2/(n2-1)); se <- sqrt(v1/n1 + v2/n2)
//   exp(lgamma(dfs/2) - lgamma((dfs-1)/2)) / sqrt(dfs/2) * (mean(other) - mean(one)) / s
//   sapply(c(0.975, 0.025), function(p) uniroot(function(d) pt(t, df, d) - p, c(t-30, t+30), tol = 1e-12)$root) * se /
//   s
TEST(EffectSize, GivesRsValues) {
  const auto sleep = ReadGroups("sleep.csv", "group", "extra");
  const auto plants = ReadGroups("plantgrowth.csv", "group", "weight");
  const EffectCase cases[] = {
      {sleep[0], sleep[1], 0.796484647153, -0.09606144284, 1.73918924247},
      {plants[1], plants[2], 1.27305796923, 0.322909278732, 2.33337784093},
      {FirstOf(plants[0], 5), plants[1], -0.526269521498, -1.65495053562, 0.556222865695},
  };
  for (const EffectCase& c : cases) {
    const auto effect = EffectSize(c.one, c.other);
    ASSERT_TRUE(effect);
    EXPECT_NEAR(effect->value, c.g, 1e-10);
    EXPECT_NEAR(effect->low_95, c.low, 1e-8);
    EXPECT_NEAR(effect->high_95, c.high, 1e-8);
  }
}

// Full enumeration with R 4.2.2:
//   a <- c(x, y); t0 <- abs(t.test(x, y)$statistic)
//   mean(combn(length(a), length(x), function(i) abs(t.test(a[i], a[-i])$statistic)) >= t0 * (1 - 1e-9))
TEST(PermutationP, GivesRsFullEnumeration) {
  const auto plants = ReadGroups("plantgrowth.csv", "group", "weight");
  const auto sleep = ReadGroups("sleep.csv", "group", "extra");
  EXPECT_DOUBLE_EQ(*PermutationP(FirstOf(plants[0], 5), FirstOf(plants[1], 5)), 84.0 / 252);
  EXPECT_DOUBLE_EQ(*PermutationP(FirstOf(plants[1], 5), FirstOf(plants[2], 5)), 16.0 / 252);
  EXPECT_DOUBLE_EQ(*PermutationP(FirstOf(plants[1], 4), FirstOf(plants[2], 7)), 1.0 / 330);
  EXPECT_DOUBLE_EQ(*PermutationP(FirstOf(sleep[0], 6), FirstOf(sleep[1], 6)), 244.0 / 924);
}

// Paule and Mandel's tau^2, Hartung and Knapp's variance. The 13 trials of BCG vaccine of Colditz et al. (J. Am. Med.
// Assoc. 271 (1994) 698): cases and others, with and without the vaccine; log risk ratios and their variances. tau^2 is
// quoted as 0.318 in the literature on random effects (from memory). All digits computed with R 4.2.2:
//   Q <- function(t2) { w <- 1/(t2+v); m <- sum(w*y)/sum(w); sum(w*(y-m)^2) - (length(y)-1) }
//   t2 <- if (Q(0) <= 0) 0 else uniroot(Q, c(0, 100*var(y)), tol = 1e-14)$root; w <- 1/(t2+v); m <- sum(w*y)/sum(w)
//   q <- sum(w*(y-m)^2)/(length(y)-1); c(m, q/sum(w), sqrt(q*(t2 + median(sqrt(v))^2)))
TEST(WeightedMean, GivesRsValuesOnPublishedTrials) {
  const double trials[][4] = {{4, 119, 11, 128},
                              {6, 300, 29, 274},
                              {3, 228, 11, 209},
                              {62, 13536, 248, 12619},
                              {33, 5036, 47, 5761},
                              {180, 1361, 372, 1079},
                              {8, 2537, 10, 619},
                              {505, 87886, 499, 87892},
                              {29, 7470, 45, 7232},
                              {17, 1699, 65, 1600},
                              {186, 50448, 141, 27197},
                              {5, 2493, 3, 2338},
                              {27, 16886, 29, 17825}};
  std::vector<Measured> values;
  for (const auto& [cases, others, plain_cases, plain_others] : trials) {
    const double all = cases + others, plain_all = plain_cases + plain_others;
    values.push_back({std::log(cases / all) - std::log(plain_cases / plain_all),
                      std::sqrt(1 / cases - 1 / all + 1 / plain_cases - 1 / plain_all)});
  }
  const GroupMean mean = WeightedMean(values);
  EXPECT_NEAR(mean.mean, -0.71496815349344, 1e-10);
  EXPECT_NEAR(mean.variance_of_mean, 0.03272198495928, 1e-11);
  EXPECT_NEAR(mean.spread, 0.62407780916246, 1e-10);
}

// As above, on values of the kind met here; the second needs no spread of its own.
TEST(WeightedMean, GivesRsValuesOnFlights) {
  const GroupMean uneven = WeightedMean({{31.2, 0.3}, {28.4, 0.5}, {33.0, 0.4}, {30.1, 2.5}, {24.9, 4}});
  EXPECT_NEAR(uneven.mean, 30.428138966931, 1e-9);
  EXPECT_NEAR(uneven.variance_of_mean, 1.240580876817, 1e-9);
  EXPECT_NEAR(uneven.spread, 2.147342560229, 1e-9);
  const GroupMean agreeing = WeightedMean({{10.0, 1}, {10.4, 0.8}, {9.9, 1.2}, {10.2, 0.5}});
  EXPECT_NEAR(agreeing.mean, 10.186794258373205, 1e-12);
  EXPECT_NEAR(agreeing.variance_of_mean, 0.007520816831117, 1e-14);
  EXPECT_NEAR(agreeing.spread, 0.210257702440141, 1e-13);
}

struct SizeCase {
  double power, effect, published, exact;
};

// Values a group for a two-sided test at 0.05: Cohen, Statistical Power Analysis for the Behavioral Sciences, 2nd ed.
// (1988), chapter 2, who rounds to the nearest; exact ones with R 4.2.2: power.t.test(power =, delta =)$n; the last is
// the example of its own help page.
TEST(CountForPower, GivesCohensSampleSizes) {
  const SizeCase cases[] = {{0.8, 0.2, 393, 393.4067},
                            {0.8, 0.5, 64, 63.76576},
                            {0.8, 0.8, 26, 25.52463},
                            {0.8, 1.0, 17, 16.71477},
                            {0.8, 1.2, 12, 11.94228},
                            {0.9, 0.2, 526, 526.3334},
                            {0.9, 0.5, 85, 85.03129},
                            {0.9, 0.8, 34, 33.82555},
                            {0.9, 1.0, 22, 22.02110}};
  for (const SizeCase& c : cases) {
    const double count = CountForPower(c.power, c.effect, 1);
    EXPECT_EQ(std::round(count), c.published) << c.effect;
    EXPECT_NEAR(count / c.exact, 1, 1e-6) << c.effect;
    EXPECT_NEAR(TwoSamplePower(count, c.effect, 1), c.power, 1e-8);
  }
}

// Computed with R 4.2.2: power.t.test(n =, delta =)$power.
TEST(TwoSamplePower, GivesRsPower) {
  const double effects[] = {0.5, 0.8, 1, 1.5, 2};
  const struct {
    double count, power[5];
  } rows[] = {{3, {0.0697683, 0.1163862, 0.1572361, 0.2929345, 0.4626081}},
              {5, {0.1038399, 0.1997421, 0.2859276, 0.5493642, 0.7905416}},
              {8, {0.1521558, 0.3195277, 0.4611759, 0.7965441, 0.9602208}},
              {10, {0.1838375, 0.3949428, 0.5619846, 0.8869701, 0.9881790}},
              {20, {0.3377084, 0.6933994, 0.8689528, 0.9960997, 0.9999866}},
              {30, {0.4778410, 0.8614222, 0.9677083, 0.9999120, 1.0000000}}};
  for (const auto& row : rows) {
    for (int i = 0; i < 5; ++i) {
      EXPECT_NEAR(TwoSamplePower(row.count, 2.5 * effects[i], 2.5), row.power[i], 1e-7) << row.count;
    }
  }
  EXPECT_NEAR(TwoSamplePower(20, 1, 1), 0.8689528016925, 1e-12);
}

}  // namespace
}  // namespace loftline
