// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <Eigen/Eigenvalues>

namespace loftline {

// A matrix R with R R^T = COVARIANCE, one column for each of its own directions. An eigenvalue that rounding left just
// below zero counts as zero.
template <int size>
Eigen::Matrix<double, size, size> CovarianceRoot(const Eigen::Matrix<double, size, size>& covariance) {
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, size, size>> solver(covariance);
  return solver.eigenvectors() * solver.eigenvalues().cwiseMax(0.0).cwiseSqrt().asDiagonal();
}

}  // namespace loftline
