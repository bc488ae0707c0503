// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The worked examples of JCGM 100:2008, Evaluation of measurement data - Guide to the expression of uncertainty in
// measurement (GUM), annex H. What is given to more digits than the Guide prints was recomputed from its data with 20
// digits or more.
#include "core/csv_file.h"
#include "core/monte_carlo.h"
#include "core/uncertainty.h"

#include <cmath>

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <gtest/gtest.h>

namespace loftline {
namespace {

Eigen::VectorXd One(double y) {
  return Eigen::VectorXd::Constant(1, y);
}

Eigen::MatrixXd ReadColumns(const char* file, const std::vector<std::string>& columns) {
  const auto table =
      ReadCsv(std::string(LOFTLINE_SOURCE_DIR "/tests/references/data/") + file, CsvRules{columns, {}, false});
  EXPECT_TRUE(table) << Describe(table.error());
  Eigen::MatrixXd values(static_cast<Eigen::Index>(table->rows.size()), static_cast<Eigen::Index>(columns.size()));
  for (Eigen::Index row = 0; row < values.rows(); ++row) {
    for (Eigen::Index column = 0; column < values.cols(); ++column) {
      values(row, column) =
          *table->Number(table->rows[static_cast<std::size_t>(row)], columns[static_cast<std::size_t>(column)]);
    }
  }
  return values;
}

// H.1, end gauge calibration: l = l_s + d - l_s (delta_alpha theta + alpha_s delta_theta), lengths in nm.
Eigen::VectorXd EndGauge(const Eigen::VectorXd& x) {
  return One(x[0] + x[1] + x[2] + x[3] - x[0] * (x[4] * x[5] + x[6] * x[7]));
}

const std::vector<UncertainInput> kEndGauge = {
    {"length of the standard", 50000623, 25, 18},
    {"repeated observations", 215, 5.8, 24},
    {"comparator, random", 0, 3.9, 5},
    {"comparator, systematic", 0, 6.7, 8},
    {"difference in expansion coefficients", 0, 1e-6 / std::sqrt(3.0), 50},
    {"deviation of temperature", -0.1, std::sqrt(0.2 * 0.2 + 0.5 * 0.5 / 2)},
    {"expansion coefficient of the standard", 11.5e-6, 2e-6 / std::sqrt(3.0)},
    {"difference in temperatures", 0, 0.05 / std::sqrt(3.0), 2},
};

TEST(Gum, EndGauge) {
  const Propagated gauge = Propagate(EndGauge, kEndGauge);
  EXPECT_NEAR(gauge.values[0], 50000838, 1e-6);
  EXPECT_NEAR(gauge.Std(0), 32, 0.5) << "H.1.5";
  EXPECT_NEAR(gauge.Std(0), 31.664, 5e-3);
  const std::vector<Contribution> parts = Contributions(gauge, kEndGauge, 0);
  const double published[] = {25, 5.8, 3.9, 6.7, 2.9, 0, 0, 16.6};  // Table H.1, nm
  for (std::size_t i = 0; i < parts.size(); ++i) EXPECT_NEAR(parts[i].std, published[i], 0.06) << parts[i].source;

  const CombinedUncertainty combined = Combine(parts);
  EXPECT_NEAR(combined.std, gauge.Std(0), 1e-9);
  EXPECT_EQ(std::floor(combined.dof), 16) << "H.1.6";
  EXPECT_NEAR(combined.dof, 16.75, 0.01);
  EXPECT_NEAR(CoverageFactor(std::floor(combined.dof), 0.99), 2.92, 5e-3) << "t_99(16), H.1.6";
  EXPECT_NEAR(CoverageFactor(std::floor(combined.dof), 0.99) * combined.std, 93, 0.6)
      << "U_99; 92.48 from the unrounded factors";
}

// The comparator's readings and its two errors make up d: u(d) = 9.7 nm (H.1.3.2), and with equation G.2b
// 9.7^4 / (5.8^4 / 24 + 3.9^4 / 5 + 6.7^4 / 8) = 25.6 degrees of freedom (H.1.6; from memory). From the unrounded u(d)
// it is 93.74^2 / 345.3 = 25.4.
TEST(Gum, EndGaugeComparatorTogether) {
  const std::vector<BudgetShare> shares =
      BudgetShares({{"standard", 25, 18}, {"comparator", 5.8, 24}, {"comparator", 3.9, 5}, {"comparator", 6.7, 8}});
  ASSERT_EQ(shares.size(), 2u);
  EXPECT_EQ(shares[1].source, "comparator");
  EXPECT_NEAR(shares[1].std, 9.7, 0.05);
  EXPECT_NEAR(shares[1].dof, 25.6, 0.2);
}

// H.1.7: the second-order terms add 11.7 nm and 1.7 nm, and 34 nm instead of 32 nm result.
TEST(Gum, EndGaugeSecondOrder) {
  const Propagated gauge = Propagate(EndGauge, kEndGauge, {{}, true});
  EXPECT_NEAR(std::sqrt(gauge.second_order[0]), std::hypot(11.7, 1.7), 0.05);
  EXPECT_NEAR(gauge.Std(0), 34, 0.5);
  EXPECT_NEAR(gauge.Std(0), 33.807, 5e-3);
}

// H.2, simultaneous resistance and reactance: R = V cos phi / I, X = V sin phi / I, Z = V / I; I in mA.
Eigen::VectorXd Impedance(const Eigen::VectorXd& x) {
  const double z_ohm = x[0] / (x[1] * 1e-3);
  return Eigen::Vector3d(z_ohm * std::cos(x[2]), z_ohm * std::sin(x[2]), z_ohm);
}

struct FiveReadings {
  std::vector<UncertainInput> inputs;
  Eigen::MatrixXd correlations, mean_covariance;
};

FiveReadings Table_H2() {
  const Eigen::MatrixXd readings = ReadColumns("gum_h2.csv", {"V_V", "I_mA", "phi_rad"});
  const Eigen::MatrixXd centred = readings.rowwise() - readings.colwise().mean();
  const double pairs = static_cast<double>(readings.rows() * (readings.rows() - 1));
  FiveReadings five;
  five.mean_covariance = centred.transpose() * centred / pairs;
  const Eigen::VectorXd std = five.mean_covariance.diagonal().cwiseSqrt();
  five.correlations = std.cwiseInverse().asDiagonal() * five.mean_covariance * std.cwiseInverse().asDiagonal();
  const char* names[] = {"voltage", "current", "phase"};
  for (Eigen::Index i = 0; i < 3; ++i) five.inputs.push_back({names[i], readings.col(i).mean(), std[i], 4});
  return five;
}

TEST(Gum, ResistanceAndReactance) {
  const FiveReadings five = Table_H2();
  const double estimates[] = {4.9990, 19.6610, 1.04446}, stds[] = {0.0032, 0.0095, 0.00075};  // Table H.2
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(five.inputs[i].value, estimates[i], 1e-9);
    EXPECT_NEAR(five.inputs[i].std, stds[i], 0.02 * stds[i]);
  }
  EXPECT_NEAR(five.correlations(0, 1), -0.36, 5e-3);
  EXPECT_NEAR(five.correlations(0, 2), 0.86, 5e-3);
  EXPECT_NEAR(five.correlations(1, 2), -0.65, 5e-3);

  const Propagated y = Propagate(Impedance, five.inputs, {five.correlations});
  const double published[] = {127.732, 219.847, 254.260}, published_std[] = {0.071, 0.295, 0.236};  // Table H.3
  const double values[] = {127.73216993, 219.84651191, 254.25970195}, y_stds[] = {0.07107141, 0.29558168, 0.23633613};
  for (Eigen::Index i = 0; i < 3; ++i) {
    EXPECT_NEAR(y.values[i], published[i], 6e-4);
    EXPECT_NEAR(y.Std(i), published_std[i], 6e-4);
    EXPECT_NEAR(y.values[i], values[i], 1e-8);
    EXPECT_NEAR(y.Std(i), y_stds[i], 2e-8);
  }
  EXPECT_NEAR(y.Correlation(0, 1), -0.588, 6e-4);
  EXPECT_NEAR(y.Correlation(0, 2), -0.485, 6e-4);
  EXPECT_NEAR(y.Correlation(1, 2), 0.993, 6e-4);
  EXPECT_NEAR(y.Correlation(0, 1), -0.58842978, 1e-7);
}

// The same by drawing the three inputs with their correlations; within five standard errors of the sample.
TEST(Gum, ResistanceAndReactanceByMonteCarlo) {
  constexpr int kCount = 100000;
  const FiveReadings five = Table_H2();
  Eigen::Vector3d mean;
  for (Eigen::Index i = 0; i < 3; ++i) mean[i] = five.inputs[static_cast<std::size_t>(i)].value;
  const Eigen::MatrixXd root = five.mean_covariance.llt().matrixL();
  RandomDraws draws(1);
  std::vector<double> resistance, reactance;
  for (int i = 0; i < kCount; ++i) {
    const Eigen::VectorXd y = Impedance(draws.NormalVector(mean, root));
    resistance.push_back(y[0]);
    reactance.push_back(y[1]);
  }
  EXPECT_NEAR(SampleStd(resistance), 0.07107141, 5 * 0.0711 / std::sqrt(2.0 * kCount));
  EXPECT_NEAR(SampleStd(reactance), 0.29558168, 5 * 0.2956 / std::sqrt(2.0 * kCount));
}

// H.3, calibration of a thermometer: the line b(t) = y1 + y2 (t - 20) by least squares is a function of the eleven
// observed corrections, whose common standard uncertainty is the line's own residual standard deviation.
TEST(Gum, ThermometerLine) {
  const Eigen::MatrixXd readings = ReadColumns("gum_h3.csv", {"t_C", "b_C"});
  ASSERT_EQ(readings.rows(), 11);
  Eigen::MatrixXd design(readings.rows(), 2);
  design << Eigen::VectorXd::Ones(readings.rows()), (readings.col(0).array() - 20.0).matrix();
  const Eigen::MatrixXd solve = (design.transpose() * design).inverse() * design.transpose();
  const auto line = [&](const Eigen::VectorXd& b) {
    const Eigen::VectorXd y = solve * b;
    return Eigen::Vector3d(y[0], y[1], y[0] + 10 * y[1]);
  };
  const Eigen::VectorXd b = readings.col(1);
  const double s = std::sqrt((b - design * (solve * b)).squaredNorm() / 9);
  EXPECT_NEAR(s, 0.0035, 5e-5);
  std::vector<UncertainInput> inputs;
  for (const double correction : b) inputs.push_back({"observed correction", correction, s, 9});

  const Propagated y = Propagate(line, inputs);
  EXPECT_NEAR(y.values[0], -0.1712, 5e-5) << "H.3.3";
  EXPECT_NEAR(y.Std(0), 0.0029, 5e-5);
  EXPECT_NEAR(y.values[1], 0.00218, 5e-6);
  EXPECT_NEAR(y.Std(1), 0.00067, 5e-6);
  EXPECT_NEAR(y.Correlation(0, 1), -0.930, 5e-4);
  EXPECT_NEAR(y.values[2], -0.1494, 5e-5) << "H.3.4: b(30 C)";
  EXPECT_NEAR(y.Std(2), 0.0041, 5e-5);
  EXPECT_NEAR(y.Std(0), 0.0028776, 5e-8);
  EXPECT_NEAR(y.Std(1), 0.00066794, 5e-9);
  EXPECT_NEAR(y.Std(2), 0.0041385958, 1e-9);
}

// The same line's prediction from its two parameters: only with their correlation is it right.
TEST(Gum, ThermometerLineNeedsItsCorrelation) {
  const auto at_30 = [](const Eigen::VectorXd& y) { return One(y[0] + 10 * y[1]); };
  const std::vector<UncertainInput> parameters = {{"y1", -0.17120379, 0.0028776}, {"y2", 0.0021826977, 0.00066794}};
  Eigen::Matrix2d correlations;
  correlations << 1, -0.9304296, -0.9304296, 1;
  EXPECT_NEAR(Propagate(at_30, parameters, {correlations}).Std(0), 0.0041386, 1e-6);
  EXPECT_NEAR(Propagate(at_30, parameters).Std(0), 0.0073, 5e-5);
}

}  // namespace
}  // namespace loftline
