// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// The linearised least-squares estimator of whitened residuals with a Jacobian J, rows residuals: influence =
// (J'J)^-1 J' says how far each residual moves each parameter, and influence * influence' is the parameters'
// covariance. By QR of the column-scaled Jacobian, which stands the many orders of magnitude between a focal length in
// pixels and a distortion.
struct LinearEstimator {
  Eigen::MatrixXd influence;  // parameters x residuals
  Eigen::MatrixXd thin_q;     // residuals x parameters: an orthonormal base of what the parameters can explain
};

// A matrix in compressed rows, as solvers hand out Jacobians, written out.
Eigen::MatrixXd DenseFromRows(Eigen::Index rows,
                              Eigen::Index columns,
                              const std::vector<int>& row_starts,
                              const std::vector<int>& column_of,
                              const std::vector<double>& values);

// Nothing where the residuals do not fix the parameters.
std::optional<LinearEstimator> EstimatorOf(Eigen::MatrixXd jacobian);

}  // namespace loftline
