// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/information_bound.h"

#include <cmath>
#include <stdexcept>

#include <Eigen/Cholesky>
#include <Eigen/QR>

namespace loftline::accuracy {

Eigen::MatrixXd InformationBound(const std::function<Eigen::VectorXd(const Eigen::VectorXd&)>& whitened,
                                 const Eigen::VectorXd& at,
                                 const Eigen::VectorXd& steps) {
  Eigen::MatrixXd by_parameter;
  for (Eigen::Index i = 0; i < at.size(); ++i) {
    Eigen::VectorXd above = at, below = at;
    above[i] += steps[i];
    below[i] -= steps[i];
    const Eigen::VectorXd column = (whitened(above) - whitened(below)) / (2.0 * steps[i]);
    if (by_parameter.size() == 0) by_parameter.resize(column.size(), at.size());
    by_parameter.col(i) = column;
  }
  // Columns of one length, so that units do not decide what counts as small.
  const Eigen::VectorXd lengths = by_parameter.colwise().norm();
  if (!(lengths.minCoeff() > 0.0)) throw std::runtime_error("a parameter that no measurement depends on");
  const Eigen::MatrixXd scaled = by_parameter * lengths.cwiseInverse().asDiagonal();
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(scaled);
  if (qr.rank() < at.size()) throw std::runtime_error("the measurements do not fix the parameters");
  const Eigen::MatrixXd upper = qr.matrixR().topRows(at.size()).triangularView<Eigen::Upper>();
  const Eigen::MatrixXd inverse =
      upper.triangularView<Eigen::Upper>().solve(Eigen::MatrixXd::Identity(at.size(), at.size()));
  const Eigen::MatrixXd unscaled = lengths.cwiseInverse().asDiagonal() * (qr.colsPermutation() * inverse);
  return unscaled * unscaled.transpose();
}

double BoundStd(const std::function<double(const Eigen::VectorXd&)>& quantity,
                const Eigen::VectorXd& at,
                const Eigen::VectorXd& steps,
                const Eigen::MatrixXd& bound) {
  Eigen::VectorXd gradient(at.size());
  for (Eigen::Index i = 0; i < at.size(); ++i) {
    Eigen::VectorXd above = at, below = at;
    above[i] += steps[i];
    below[i] -= steps[i];
    gradient[i] = (quantity(above) - quantity(below)) / (2.0 * steps[i]);
  }
  return std::sqrt(gradient.dot(bound * gradient));
}

}  // namespace loftline::accuracy
