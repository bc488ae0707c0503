// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/distributions.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include <gsl/gsl_cdf.h>
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

}  // namespace
}  // namespace loftline
