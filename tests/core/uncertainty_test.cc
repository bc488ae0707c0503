// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Laws and small exact cases; the published examples are in tests/references/gum_test.cc.
#include "core/uncertainty.h"

#include <cmath>
#include <stdexcept>

#include <gtest/gtest.h>

namespace loftline {
namespace {

Eigen::VectorXd One(double y) {
  return Eigen::VectorXd::Constant(1, y);
}

TEST(Combine, AddsInQuadrature) {
  const CombinedUncertainty sum = Combine({{"a", 3}, {"b", 4}});
  EXPECT_DOUBLE_EQ(sum.std, 5.0);
  EXPECT_TRUE(std::isinf(sum.dof));
}

// Equal contributions with the same dof n add theirs up: (2 u^2)^2 / (2 u^4 / n) = 2 n.
TEST(Combine, AddsDegreesOfFreedomOfEquals) {
  EXPECT_NEAR(Combine({{"a", 2, 7}, {"b", 2, 7}}).dof, 14.0, 1e-12);
  EXPECT_NEAR(Combine({{"a", 2, 7}, {"b", 0, 1}}).dof, 7.0, 1e-12) << "no contribution, no loss";
  EXPECT_NEAR(Combine({{"a", 1, 4}, {"b", 1}}).dof, 16.0, 1e-12) << "half of the variance is known: (2)^2 / (1/4)";
}

TEST(Combine, TakesNothing) {
  EXPECT_EQ(Combine({}).std, 0.0);
  EXPECT_TRUE(std::isinf(Combine({}).dof));
}

TEST(Combine, RefusesTheImpossible) {
  EXPECT_THROW(Combine({{"a", -1}}), std::invalid_argument);
  EXPECT_THROW(Combine({{"a", 1, 0}}), std::invalid_argument);
  EXPECT_THROW(Combine({{"a", std::nan("")}}), std::invalid_argument);
}

TEST(BudgetShares, MergesSourcesAndSortsThem) {
  const std::vector<BudgetShare> shares = BudgetShares({{"tape", 1, 4}, {"marks", 3}, {"tape", 2, 4}, {"wind", 0}});
  ASSERT_EQ(shares.size(), 3u);
  EXPECT_EQ(shares[0].source, "marks");
  EXPECT_EQ(shares[1].source, "tape");
  EXPECT_EQ(shares[2].source, "wind");
  EXPECT_DOUBLE_EQ(shares[1].std, std::sqrt(5.0));
  EXPECT_NEAR(shares[1].dof, 25.0 / (1.0 / 4 + 16.0 / 4), 1e-12);
  EXPECT_NEAR(shares[0].share, 9.0 / 14, 1e-15);
  EXPECT_NEAR(shares[0].share + shares[1].share + shares[2].share, 1.0, 1e-15);
}

TEST(BudgetShares, HasNoSharesOfNothing) {
  const std::vector<BudgetShare> shares = BudgetShares({{"tape", 0}});
  ASSERT_EQ(shares.size(), 1u);
  EXPECT_EQ(shares[0].share, 0.0);
}

TEST(CoverageFactor, IsTwoSided) {
  EXPECT_NEAR(CoverageFactor(kKnownDof, 0.95), 1.959964, 1e-6);
  EXPECT_NEAR(CoverageFactor(10, 0.95), 2.228139, 1e-6);
}

// To the rounding of values near 3e6 over steps of 2e-4.
TEST(Propagate, IsExactForALine) {
  const auto line = [](const Eigen::VectorXd& x) { return One(3 * x[0] - 2 * x[1] + 7); };
  Eigen::Matrix2d correlations;
  correlations << 1, 0.5, 0.5, 1;
  const std::vector<UncertainInput> inputs = {{"a", 1e6, 0.2}, {"b", -4, 0.1}};
  EXPECT_NEAR(Propagate(line, inputs).Std(0), std::sqrt(0.36 + 0.04), 1e-6);
  EXPECT_NEAR(Propagate(line, inputs, {correlations}).Std(0), std::sqrt(0.36 + 0.04 - 2 * 0.5 * 0.6 * 0.2), 1e-6);
}

// Fully correlated inputs: the difference of two readings of one scale does not feel the scale's offset.
TEST(Propagate, CancelsWhatIsShared) {
  const auto difference = [](const Eigen::VectorXd& x) { return One(x[0] - x[1]); };
  const Propagated y = Propagate(difference, {{"a", 5, 0.3}, {"b", 2, 0.3}}, {Eigen::Matrix2d::Ones()});
  EXPECT_NEAR(y.Std(0), 0.0, 1e-9);
}

TEST(Propagate, LeavesExactInputsAlone) {
  int calls = 0;
  const auto product = [&](const Eigen::VectorXd& x) {
    ++calls;
    return One(x[0] * x[1]);
  };
  const Propagated y = Propagate(product, {{"a", 5, 0.0}, {"b", 2, 0.1}});
  EXPECT_EQ(calls, 3);
  EXPECT_EQ(y.sensitivities(0, 0), 0.0);
  EXPECT_NEAR(y.Std(0), 0.5, 1e-12);
}

// x^2 of a normal x: variance 4 m^2 u^2 + 2 u^4, to which the terms up to the second order are complete.
// x^3 about zero has none of first or second order; the whole variance, 15 u^6, is of higher order. What is left is the
// difference quotient's own error, a thousandth of u squared for the slope.
TEST(Propagate, AddsSecondOrderTerms) {
  const auto square = [](const Eigen::VectorXd& x) { return One(x[0] * x[0]); };
  const Propagated y = Propagate(square, {{"x", 3, 0.5}}, {{}, true});
  EXPECT_NEAR(y.Std(0) * y.Std(0), 4 * 9 * 0.25 + 2 * 0.0625, 1e-9);
  const auto cube = [](const Eigen::VectorXd& x) { return One(x[0] * x[0] * x[0]); };
  EXPECT_NEAR(Propagate(cube, {{"x", 0, 0.5}}, {{}, true}).Std(0), 0.0, 1e-3);
}

// Third derivatives: for x y^2 at (1, 2), u 0.1 and 0.2, by hand: first order (4 * 0.1)^2 + (4 * 0.2)^2 = 0.8;
// f_xy = 4, f_yy = 2, f_xyy = 2: [16/2 + 4 * 2 + 16/2] 0.1^2 0.2^2 + [4/2] 0.2^4 = 0.0128.
TEST(Propagate, KnowsMixedThirdDerivatives) {
  const auto function = [](const Eigen::VectorXd& x) { return One(x[0] * x[1] * x[1]); };
  const Propagated y = Propagate(function, {{"x", 1, 0.1}, {"y", 2, 0.2}}, {{}, true});
  EXPECT_NEAR(y.covariance(0, 0), 0.8, 1e-9);
  EXPECT_NEAR(y.second_order[0], 0.0128, 1e-9);
}

TEST(Propagate, RefusesWhatIsNoCorrelationMatrix) {
  const auto sum = [](const Eigen::VectorXd& x) { return One(x.sum()); };
  const std::vector<UncertainInput> inputs = {{"a", 1, 0.1}, {"b", 1, 0.1}};
  Eigen::Matrix2d beyond, lopsided;
  beyond << 1, 1.5, 1.5, 1;
  lopsided << 1, 0.5, 0.2, 1;
  for (const Eigen::MatrixXd& wrong : {Eigen::MatrixXd(beyond),
                                       Eigen::MatrixXd(lopsided),
                                       Eigen::MatrixXd(2 * Eigen::Matrix2d::Identity()),
                                       Eigen::MatrixXd(Eigen::Matrix3d::Identity())}) {
    EXPECT_THROW(Propagate(sum, inputs, {wrong}), std::invalid_argument);
  }
  EXPECT_THROW(Propagate(sum, inputs, {Eigen::Matrix2d::Identity(), true}), std::invalid_argument);
  EXPECT_THROW(Propagate(sum, {{"a", 1, -0.1}}), std::invalid_argument);
}

}  // namespace
}  // namespace loftline
