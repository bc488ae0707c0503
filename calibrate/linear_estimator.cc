// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/linear_estimator.h"

#include <Eigen/QR>

namespace loftline {

Eigen::MatrixXd DenseFromRows(Eigen::Index rows,
                              Eigen::Index columns,
                              const std::vector<int>& row_starts,
                              const std::vector<int>& column_of,
                              const std::vector<double>& values) {
  Eigen::MatrixXd dense = Eigen::MatrixXd::Zero(rows, columns);
  for (Eigen::Index row = 0; row < rows; ++row) {
    const auto at = static_cast<std::size_t>(row);
    for (auto i = static_cast<std::size_t>(row_starts[at]); i < static_cast<std::size_t>(row_starts[at + 1]); ++i) {
      dense(row, column_of[i]) = values[i];
    }
  }
  return dense;
}

std::optional<LinearEstimator> EstimatorOf(Eigen::MatrixXd jacobian) {
  const Eigen::VectorXd scale = jacobian.colwise().norm().transpose().cwiseMax(1e-300);
  jacobian *= scale.cwiseInverse().asDiagonal();
  const Eigen::HouseholderQR<Eigen::MatrixXd> qr(jacobian);
  const Eigen::Index size = jacobian.cols();
  LinearEstimator estimator;
  estimator.thin_q = qr.householderQ() * Eigen::MatrixXd::Identity(jacobian.rows(), size);
  estimator.influence = estimator.thin_q.transpose();
  qr.matrixQR().topRows(size).triangularView<Eigen::Upper>().solveInPlace(estimator.influence);
  estimator.influence = scale.cwiseInverse().asDiagonal() * estimator.influence;
  if (!estimator.influence.allFinite()) return std::nullopt;
  return estimator;
}

}  // namespace loftline
