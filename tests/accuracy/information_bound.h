// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <functional>

#include <Eigen/Core>

namespace loftline::accuracy {

// What a set of measurements can say at most (Cramer 1946, Rao 1945; with priors, van Trees 1968): the inverse of the
// information  J' J,  where J is the derivative of the expected measurements, each over its own standard deviation, by
// the parameters. A prior is one more measurement: the parameter over its standard deviation.
// J by central differences of STEPS about AT. Throws std::runtime_error where the measurements do not fix the
// parameters.
Eigen::MatrixXd InformationBound(const std::function<Eigen::VectorXd(const Eigen::VectorXd&)>& whitened,
                                 const Eigen::VectorXd& at,
                                 const Eigen::VectorXd& steps);

// Least standard deviation of a quantity of the parameters, given the bound on theirs.
double BoundStd(const std::function<double(const Eigen::VectorXd&)>& quantity,
                const Eigen::VectorXd& at,
                const Eigen::VectorXd& steps,
                const Eigen::MatrixXd& bound);

}  // namespace loftline::accuracy
