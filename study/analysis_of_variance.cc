// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/analysis_of_variance.h"

#include "core/distributions.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace loftline {
namespace {

double GrandMean(const std::vector<std::vector<double>>& groups) {
  double sum = 0.0, count = 0.0;
  for (const std::vector<double>& group : groups) {
    for (const double value : group) sum += value;
    count += static_cast<double>(group.size());
  }
  return count > 0.0 ? sum / count : 0.0;
}

void SumSquares(const std::vector<std::vector<double>>& groups, OneWayAnova* anova) {
  const double centre = GrandMean(groups);
  double correction = 0.0, count = 0.0;  // what is left of the mean after centring: rounding of CENTRE
  for (const std::vector<double>& group : groups) {
    if (group.empty()) continue;
    const double size = static_cast<double>(group.size());
    double mean = 0.0;
    for (const double value : group) mean += (value - centre) / size;
    for (const double value : group) anova->ss_within += (value - centre - mean) * (value - centre - mean);
    anova->ss_between += size * mean * mean;
    correction += size * mean;
    count += size;
  }
  if (count > 0.0) anova->ss_between -= correction * correction / count;
}

// The precision of the contrasts between means of covariance V, whatever their common value:
// C' (C V C')^-1 C, where the rows of C take the last mean from each of the others. Nothing where V leaves a contrast
// without any variance.
std::optional<Eigen::MatrixXd> ContrastPrecision(const Eigen::MatrixXd& covariance) {
  const Eigen::Index others = covariance.rows() - 1;
  Eigen::MatrixXd contrasts = Eigen::MatrixXd::Zero(others, others + 1);
  contrasts.leftCols(others).setIdentity();
  contrasts.col(others).setConstant(-1.0);
  const Eigen::MatrixXd of_contrasts = contrasts * covariance * contrasts.transpose();
  // Scaled to ones on the diagonal, so that groups of very unequal spread keep their digits.
  const Eigen::VectorXd variances = of_contrasts.diagonal();
  if (!(variances.minCoeff() > 0.0)) return std::nullopt;
  const Eigen::VectorXd scale = variances.cwiseSqrt().cwiseInverse();
  const Eigen::LDLT<Eigen::MatrixXd> factors(scale.asDiagonal() * of_contrasts * scale.asDiagonal());
  if (factors.info() != Eigen::Success || !(factors.vectorD().minCoeff() > 1e-13)) return std::nullopt;
  const Eigen::MatrixXd scaled = scale.asDiagonal() * contrasts;
  return scaled.transpose() * factors.solve(scaled);
}

}  // namespace

OneWayAnova AnalyseVariance(const std::vector<std::vector<double>>& groups) {
  OneWayAnova anova;
  double filled = 0.0, count = 0.0;
  for (const std::vector<double>& group : groups) {
    filled += group.empty() ? 0.0 : 1.0;
    count += static_cast<double>(group.size());
  }
  SumSquares(groups, &anova);
  const double ss = anova.ss_between + anova.ss_within;
  if (ss > 0.0) anova.r_squared = anova.ss_between / ss;
  anova.df_between = std::max(filled - 1.0, 0.0);
  anova.df_within = count - filled;
  if (filled < 2.0 || anova.df_within < 1.0) return anova;
  anova.ms_between = anova.ss_between / anova.df_between;
  anova.ms_within = anova.ss_within / anova.df_within;
  anova.residual_std = std::sqrt(anova.ms_within);
  if (!(anova.ms_within > 0.0)) return anova;
  anova.f = std::max(anova.ms_between / anova.ms_within, 0.0);
  anova.p = FTail(anova.f, anova.df_between, anova.df_within);
  return anova;
}

std::optional<WelchAnova> AnalyseByWelch(const std::vector<GroupMean>& groups,
                                         const std::vector<double>& extra_covariance) {
  const auto size = static_cast<Eigen::Index>(groups.size());
  if (!extra_covariance.empty() && extra_covariance.size() != groups.size() * groups.size()) {
    throw std::invalid_argument("the covariance has another size than the groups");
  }
  if (size < 2) return std::nullopt;
  Eigen::VectorXd means(size);
  Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(size, size);
  for (Eigen::Index i = 0; i < size; ++i) {
    const GroupMean& group = groups[static_cast<std::size_t>(i)];
    if (group.count < 2) return std::nullopt;
    means(i) = group.mean - groups.front().mean;
    covariance(i, i) = group.variance_of_mean;
  }
  if (!extra_covariance.empty()) {
    covariance += Eigen::Map<const Eigen::MatrixXd>(extra_covariance.data(), size, size);
  }
  const std::optional<Eigen::MatrixXd> precision = ContrastPrecision(covariance);
  if (!precision) return std::nullopt;

  // Without an extra covariance each share is Welch's 1 - w_i / sum w.
  double corrections = 0.0;
  for (Eigen::Index i = 0; i < size; ++i) {
    const GroupMean& group = groups[static_cast<std::size_t>(i)];
    const double share = group.variance_of_mean * (*precision)(i, i);
    corrections += share * share / (static_cast<double>(group.count) - 1.0);
  }
  const double k = static_cast<double>(size);
  WelchAnova anova;
  anova.df_between = k - 1.0;
  anova.df_within = (k * k - 1.0) / (3.0 * corrections);
  anova.f = means.dot(*precision * means) / (k - 1.0) / (1.0 + 2.0 * (k - 2.0) / (k * k - 1.0) * corrections);
  anova.p = FTail(std::max(anova.f, 0.0), anova.df_between, anova.df_within);
  return anova;
}

}  // namespace loftline
