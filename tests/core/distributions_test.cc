// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/distributions.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

struct QuantileCase {
  double probability, dof, t;
};

// Percentage points of Student's distribution as every table prints them (for example NIST/SEMATECH e-Handbook of
// Statistical Methods, 1.3.6.7.2), recomputed to six places with R 4.2.2.
constexpr QuantileCase kTable[] = {
    {0.95, 1, 6.313752},   {0.95, 2, 2.919986},    {0.95, 10, 1.812461},         {0.95, 30, 1.697261},
    {0.975, 1, 12.706205}, {0.975, 2, 4.302653},   {0.975, 3, 3.182446},         {0.975, 4, 2.776445},
    {0.975, 5, 2.570582},  {0.975, 8, 2.306004},   {0.975, 10, 2.228139},        {0.975, 20, 2.085963},
    {0.975, 60, 2.000298}, {0.975, 120, 1.979930}, {0.975, kInfinity, 1.959964}, {0.995, 1, 63.656741},
    {0.995, 5, 4.032143},  {0.995, 15, 2.946713},  {0.995, 120, 2.617421},       {0.995, kInfinity, 2.575829}};

TEST(StudentQuantile, AgreesWithTables) {
  for (const QuantileCase& row : kTable) {
    EXPECT_NEAR(StudentQuantile(row.probability, row.dof), row.t, 6e-7) << row.probability << ", dof " << row.dof;
    EXPECT_NEAR(StudentQuantile(1 - row.probability, row.dof), -row.t, 6e-7);
  }
}

// The GNU Scientific Library's distribution function, for dof that are not whole too: an independent program.
TEST(StudentQuantile, IsInvertedByAnIndependentLibrary) {
  for (const double dof : {1.0, 2.5, 9.0, 16.75, 136.875, 3000.0}) {
    for (const double probability : {0.0005, 0.1, 0.5, 0.84, 0.975, 0.9999}) {
      EXPECT_NEAR(gsl_cdf_tdist_P(StudentQuantile(probability, dof), dof), probability, 1e-11) << dof;
    }
  }
}

TEST(NormalQuantile, IsInvertedByTheErrorFunction) {
  for (const double probability : {1e-9, 0.001, 0.3, 0.5, 0.9, 0.999999}) {
    EXPECT_NEAR(std::erfc(-NormalQuantile(probability) / std::sqrt(2.0)) / 2, probability, 1e-14);
  }
}

TEST(Quantiles, RefuseWhatIsNoProbability) {
  for (const double probability : {0.0, 1.0, -0.1, 1.5, std::nan("")}) {
    EXPECT_THROW(NormalQuantile(probability), std::invalid_argument);
    EXPECT_THROW(StudentQuantile(probability, 5), std::invalid_argument);
  }
  for (const double dof : {0.0, -1.0, std::nan("")}) EXPECT_THROW(StudentQuantile(0.9, dof), std::invalid_argument);
}

// An independent program: the GNU Scientific Library.
TEST(Tails, AgreeWithAnIndependentLibrary) {
  for (const double dof : {1.0, 2.5, 16.75, 136.875}) {
    for (const double x : {0.0, 0.3, 1.7, 4.2, 20.0}) {
      EXPECT_NEAR(StudentTwoTails(-x, dof), 2 * gsl_cdf_tdist_Q(x, dof), 1e-12) << x << ", dof " << dof;
      EXPECT_NEAR(ChiSquareTail(x, dof), gsl_cdf_chisq_Q(x, dof), 1e-12) << x << ", dof " << dof;
      EXPECT_NEAR(FTail(x, 3.0, dof), gsl_cdf_fdist_Q(x, 3.0, dof), 1e-12) << x << ", dof " << dof;
    }
  }
  EXPECT_NEAR(StudentTwoTails(2.0, kInfinity), 2 * gsl_cdf_ugaussian_Q(2.0), 1e-14);
  EXPECT_NEAR(FTail(2.0, 3.0, kInfinity), gsl_cdf_chisq_Q(6.0, 3.0), 1e-14);
}

// Percentage points of F and chi-square that every table prints, to six places with R 4.2.2.
TEST(Tails, AgreeWithTables) {
  EXPECT_NEAR(FTail(3.354131, 2, 27), 0.05, 1e-7);
  EXPECT_NEAR(FTail(2.866081, 4, 20), 0.05, 1e-7);
  EXPECT_NEAR(FTail(4.051749, 1, 46), 0.05, 1e-7);
  EXPECT_NEAR(FTail(1.990147, 8, 180), 0.05, 1e-7);
  EXPECT_NEAR(ChiSquareTail(3.841459, 1), 0.05, 1e-7);
  EXPECT_NEAR(ChiSquareTail(18.307038, 10), 0.05, 1e-7);
}

struct RangeCase {
  double probability, dof, q[5];  // for 2 to 6 groups
};

// Computed with R 4.2.2: outer(...) of qtukey(0.95, 2:6, df); five of these entries were confirmed by direct double
// integration. They are the tables printed after Harter (Ann. Math. Stat. 31 (1960) 1122) with one place more.
constexpr RangeCase kRanges[] = {{0.95, 5, {3.6354, 4.6017, 5.2183, 5.6731, 6.0329}},
                                 {0.95, 8, {3.2612, 4.0410, 4.5288, 4.8858, 5.1672}},
                                 {0.95, 10, {3.1511, 3.8768, 4.3266, 4.6543, 4.9120}},
                                 {0.95, 12, {3.0813, 3.7729, 4.1987, 4.5077, 4.7502}},
                                 {0.95, 20, {2.9500, 3.5779, 3.9583, 4.2319, 4.4452}},
                                 {0.95, 27, {2.9017, 3.5064, 3.8701, 4.1305, 4.3329}},
                                 {0.95, 60, {2.8288, 3.3987, 3.7371, 3.9774, 4.1632}},
                                 {0.95, kInfinity, {2.7718, 3.3145, 3.6332, 3.8577, 4.0301}},
                                 {0.99, 10, {4.4820, 5.2702, 5.7686, 6.1361, 6.4275}},
                                 {0.99, 20, {4.0239, 4.6392, 5.0180, 5.2933, 5.5095}}};

TEST(StudentizedRange, AgreesWithTables) {
  for (const RangeCase& row : kRanges) {
    for (int groups = 2; groups <= 6; ++groups) {
      EXPECT_NEAR(StudentizedRangeQuantile(row.probability, groups, row.dof), row.q[groups - 2], 1e-4) << row.dof;
      EXPECT_NEAR(StudentizedRangeTail(row.q[groups - 2], groups, row.dof), 1 - row.probability, 1e-5) << row.dof;
    }
  }
  EXPECT_NEAR(StudentizedRangeTail(3.5, 3, 20), 1 - 0.94410815, 1e-8);  // by R 4.2.2 and by double integration
}

// For one degree of freedom, where R gives nothing: the first row of the tables after Harter, as textbooks print it.
TEST(StudentizedRange, AgreesWithTheFirstRowOfTables) {
  const double table[] = {17.97, 26.98, 32.82, 37.08, 40.41};
  for (int groups = 2; groups <= 6; ++groups) {
    EXPECT_NEAR(StudentizedRangeQuantile(0.95, groups, 1), table[groups - 2], 0.006) << groups;
  }
}

TEST(StudentizedRange, OfTwoIsStudents) {
  for (const double dof : {1.0, 1.3, 1.99, 2.0, 2.7, 4.5, 5.0, 7.3, 9.0, kInfinity}) {
    for (const double t : {0.5, 1.0, 2.0, 5.0}) {
      EXPECT_NEAR(StudentizedRangeTail(t * std::sqrt(2.0), 2, dof), StudentTwoTails(t, dof), 1e-9) << dof;
    }
    EXPECT_NEAR(StudentizedRangeQuantile(0.95, 2, dof) / StudentQuantile(0.975, dof), std::sqrt(2.0), 1e-12) << dof;
  }
}

// R 4.2.2: ptukey(q, groups, dof, lower.tail = FALSE), where it is right: from five degrees of freedom on.
TEST(StudentizedRange, AgreesWithR) {
  EXPECT_NEAR(StudentizedRangeTail(3.2, 3, 5), 0.152545129373, 2e-8);
  EXPECT_NEAR(StudentizedRangeTail(4.5, 3, 7.3), 0.0345642471692, 2e-8);
  EXPECT_NEAR(StudentizedRangeTail(2, 4, 8), 0.525240697763, 2e-8);
  EXPECT_NEAR(StudentizedRangeTail(6, 5, 10), 0.0115579563423, 2e-8);
  EXPECT_NEAR(StudentizedRangeTail(5, 8, 20.5), 0.0348816027258, 2e-8);
  EXPECT_NEAR(StudentizedRangeTail(3.7, 10, 60), 0.232994195536, 2e-8);
  EXPECT_NEAR(StudentizedRangeTail(4.1, 6, 1000), 0.0441658850575, 2e-8);
}

TEST(StudentizedRange, IsItsOwnInverse) {
  for (const double groups : {2.0, 3.0, 10.0}) {
    for (const double dof : {1.0, 4.3, 300.0, 1e7, kInfinity}) {
      for (const double probability : {0.01, 0.95, 0.99}) {
        EXPECT_NEAR(
            StudentizedRangeTail(StudentizedRangeQuantile(probability, groups, dof), groups, dof) / (1 - probability),
            1,
            1e-5)
            << groups << ", dof " << dof << ", " << probability;
      }
    }
  }
}

struct NoncentralCase {
  double t, dof, noncentrality;
};

// The defining integral, over the estimate of the deviation, by the GNU Scientific Library's adaptive quadrature.
double NoncentralByIntegral(const NoncentralCase& at) {
  gsl_function integrand;
  integrand.params = const_cast<NoncentralCase*>(&at);
  integrand.function = [](double deviation, void* params) {
    const auto* c = static_cast<const NoncentralCase*>(params);
    return gsl_cdf_ugaussian_P(c->t * deviation - c->noncentrality) *
           gsl_ran_chisq_pdf(c->dof * deviation * deviation, c->dof) * 2 * c->dof * deviation;
  };
  gsl_integration_workspace* workspace = gsl_integration_workspace_alloc(2000);
  double sum = 0, error = 0;
  gsl_integration_qags(&integrand, 1e-12, 12.0, 1e-12, 1e-10, 2000, workspace, &sum, &error);
  gsl_integration_workspace_free(workspace);
  return sum;
}

TEST(NoncentralStudent, AgreesWithItsIntegral) {
  for (const NoncentralCase& at : {NoncentralCase{2.0, 8, 1.0},
                                   NoncentralCase{-1.0, 3, 0.5},
                                   NoncentralCase{2.024, 38, 3.16},
                                   NoncentralCase{5.0, 2.3, 12.0},
                                   NoncentralCase{1.0, 17.6, -2.0},
                                   NoncentralCase{40.0, 4, 36.9},
                                   NoncentralCase{40.0, 4, 37.1},
                                   NoncentralCase{60.0, 4, 100.0},
                                   NoncentralCase{50.0, 300, 45.0}}) {
    EXPECT_NEAR(NoncentralStudentBelow(at.t, at.dof, at.noncentrality), NoncentralByIntegral(at), 1e-7)
        << at.t << ", dof " << at.dof << ", noncentrality " << at.noncentrality;
  }
  EXPECT_EQ(NoncentralStudentBelow(-5.0, 4, 80.0), 0.0);
  EXPECT_EQ(NoncentralStudentBelow(5.0, 4, -80.0), 1.0);
}

TEST(NoncentralStudent, SaysNothingOfItsOwn) {
  testing::internal::CaptureStdout();
  for (const double t : {-300.0, -3.0, 0.0, 3.0, 300.0}) {
    for (const double noncentrality : {-36.0, -1.0, 0.0, 1.0, 36.0}) NoncentralStudentBelow(t, 4, noncentrality);
  }
  EXPECT_EQ(testing::internal::GetCapturedStdout(), "");
}

TEST(Distributions, RefuseWhatCannotBe) {
  const double nan = std::nan("");
  for (const double bad : {0.0, -1.0, nan}) {
    EXPECT_THROW(StudentTwoTails(1, bad), std::invalid_argument);
    EXPECT_THROW(FTail(1, bad, 3), std::invalid_argument);
    EXPECT_THROW(FTail(1, 3, bad), std::invalid_argument);
    EXPECT_THROW(ChiSquareTail(1, bad), std::invalid_argument);
    EXPECT_THROW(StudentizedRangeTail(1, 3, bad), std::invalid_argument);
    EXPECT_THROW(StudentizedRangeQuantile(0.9, 3, bad), std::invalid_argument);
    EXPECT_THROW(StudentizedRangeQuantile(0.9, bad, 3), std::invalid_argument);
    EXPECT_THROW(NoncentralStudentBelow(1, bad, 1), std::invalid_argument);
  }
  EXPECT_THROW(ChiSquareTail(1, kInfinity), std::invalid_argument);
  EXPECT_THROW(ChiSquareTail(-1, 2), std::invalid_argument);
  EXPECT_THROW(FTail(nan, 2, 2), std::invalid_argument);
  EXPECT_THROW(StudentTwoTails(nan, 2), std::invalid_argument);
  EXPECT_THROW(StudentizedRangeTail(-1, 3, 5), std::invalid_argument);
  EXPECT_THROW(StudentizedRangeTail(1, 1, 5), std::invalid_argument);
  EXPECT_THROW(StudentizedRangeQuantile(1, 3, 5), std::invalid_argument);
  EXPECT_THROW(NoncentralStudentBelow(nan, 3, 1), std::invalid_argument);
  EXPECT_THROW(NoncentralStudentBelow(1, 3, kInfinity), std::invalid_argument);
}

}  // namespace
}  // namespace loftline
