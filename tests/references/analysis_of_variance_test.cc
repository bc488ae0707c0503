// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// One-way analysis of variance and Welch's test of many groups, against NIST's certified values and R.

#include "study/analysis_of_variance.h"

#include "tests/references/grouped_data.h"

#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

struct Certified {
  const char* file;
  const char* group;
  const char* value;
  double df_between, df_within, ss_between, ss_within, ms_within, f, r_squared, residual_std;
  double least_digits;  // that a double can be asked for here
  double welch_f, welch_df_within, welch_p;
};

// NIST/ITL Statistical Reference Datasets (StRD), one-way analysis of variance: certified values to 15 digits. The
// values of AtmWtAg have seven constant leading digits, and in double precision the values themselves are known to no
// more than 9 or 10 digits of their scatter. Welch's test was computed with R 4.2.2:
//   oneway.test(y ~ factor(g), read.csv(file, comment.char = "#"))
const Certified kSets[] = {{"nist_anova_SiRstv.csv",
                            "instrument",
                            "resistance",
                            4,
                            20,
                            5.11462616000000E-02,
                            2.16636560000000E-01,
                            1.08318280000000E-02,
                            1.18046237440255E+00,
                            1.90999039051129E-01,
                            1.04076068334656E-01,
                            12.0,
                            1.0516037072433,
                            9.9515054170868,
                            0.4288627102241},
                           {"nist_anova_SmLs01.csv",
                            "treatment",
                            "response",
                            8,
                            180,
                            1.68,
                            1.80,
                            0.01,
                            21.0,
                            4.82758620689655E-01,
                            0.1,
                            13.5,
                            19.76987447699,
                            75.0,
                            1.121144524910e-15},
                           {"nist_anova_AtmWtAg.csv",
                            "instrument",
                            "atomic_weight_Ag",
                            1,
                            46,
                            3.63834187500000E-09,
                            1.04951729166667E-08,
                            2.28155932971014E-10,
                            1.59467335677930E+01,
                            2.57426544538321E-01,
                            1.51048314446410E-05,
                            9.0,
                            15.94673356776,
                            43.25183428311,
                            2.485567655499e-04}};

// Digits of VALUE that are right: minus the decimal logarithm of the relative error, at most 15.
double RightDigits(double value, double certified) {
  const double error = std::abs(value - certified) / std::abs(certified);
  return error > 0 ? std::min(-std::log10(error), 15.0) : 15.0;
}

TEST(AnalyseVariance, ReachesNistsCertifiedValues) {
  for (const Certified& set : kSets) {
    const OneWayAnova anova = AnalyseVariance(ReadGroups(set.file, set.group, set.value));
    EXPECT_EQ(anova.df_between, set.df_between);
    EXPECT_EQ(anova.df_within, set.df_within);
    double fewest = 15;
    for (const auto& [value, certified] : {std::pair(anova.ss_between, set.ss_between),
                                           std::pair(anova.ss_within, set.ss_within),
                                           std::pair(anova.ms_within, set.ms_within),
                                           std::pair(anova.f, set.f),
                                           std::pair(anova.r_squared, set.r_squared),
                                           std::pair(anova.residual_std, set.residual_std)}) {
      const double digits = RightDigits(value, certified);
      EXPECT_GE(digits, set.least_digits) << set.file << ": " << value << ", certified " << certified;
      fewest = std::min(fewest, digits);
    }
    RecordProperty(set.group, std::to_string(fewest));
    std::printf("%s: at least %.1f digits\n", set.file, fewest);
  }
}

// p with R 4.2.2: summary(aov(y ~ factor(g))).
TEST(AnalyseVariance, GivesRsProbabilities) {
  const double expected[] = {0.34945, 0.0, 0.00023268};
  for (int i = 0; i < 3; ++i) {
    const OneWayAnova anova = AnalyseVariance(ReadGroups(kSets[i].file, kSets[i].group, kSets[i].value));
    EXPECT_NEAR(anova.p, expected[i], i == 2 ? 5e-9 : 5e-6) << kSets[i].file;
  }
}

std::vector<GroupMean> MeansOf(const std::vector<std::vector<double>>& groups) {
  std::vector<GroupMean> means;
  for (const std::vector<double>& group : groups) means.push_back(PlainMean(group));
  return means;
}

TEST(AnalyseByWelch, GivesRsValuesOnNistsSets) {
  for (const Certified& set : kSets) {
    const auto welch = AnalyseByWelch(MeansOf(ReadGroups(set.file, set.group, set.value)));
    ASSERT_TRUE(welch);
    EXPECT_EQ(welch->df_between, set.df_between);
    // A mean of AtmWtAg as a double is known to 4e-10 of the difference, and R's own digits end there too.
    EXPECT_NEAR(welch->f / set.welch_f, 1, 3e-9) << set.file;
    EXPECT_NEAR(welch->df_within / set.welch_df_within, 1, 1e-9) << set.file;
    EXPECT_NEAR(welch->p / set.welch_p, 1, 1e-7) << set.file;
  }
}

// Data of Dobson (An Introduction to Statistical Modelling (1983), table 7.1), R's PlantGrowth; computed with R 4.2.2:
//   summary(aov(weight ~ group, PlantGrowth)); oneway.test(weight ~ group, PlantGrowth)
TEST(AnalyseByWelch, GivesRsValuesOnPlantGrowth) {
  const auto groups = ReadGroups("plantgrowth.csv", "group", "weight");
  const OneWayAnova anova = AnalyseVariance(groups);
  EXPECT_NEAR(anova.ss_between, 3.76634, 5e-6);
  EXPECT_NEAR(anova.ss_within, 10.49209, 5e-6);
  EXPECT_NEAR(anova.f, 4.84609, 5e-6);
  EXPECT_NEAR(anova.p, 0.01591, 5e-6);
  const auto welch = AnalyseByWelch(MeansOf(groups));
  ASSERT_TRUE(welch);
  EXPECT_NEAR(welch->f, 5.1809724081132, 1e-11);
  EXPECT_NEAR(welch->df_within, 17.1284186166441, 1e-11);
  EXPECT_NEAR(welch->p, 0.0173928214902, 1e-11);
}

}  // namespace
}  // namespace loftline
