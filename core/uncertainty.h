// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <functional>
#include <limits>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// Uncertainty as the GUM has it (JCGM 100:2008): contributions of independent sources, their sum in quadrature, the
// degrees of freedom of that sum, and how uncertainties of inputs pass through a function.
inline constexpr double kKnownDof = std::numeric_limits<double>::infinity();

// What one source adds to a quantity's standard uncertainty, in the quantity's unit: |c_i| u(x_i).
struct Contribution {
  std::string source;
  double std = 0.0;
  double dof = kKnownDof;  // of the std itself; infinite where it is known and not estimated from scatter
};

// The root sum of squares (JCGM 100, 5.1.2) and its effective degrees of freedom by Welch and Satterthwaite (G.4.1,
// equation G.2b), infinite where all are. The dof is not rounded: the GUM truncates it to a whole number for printed
// tables of t, which Student's distribution itself does not need.
// Contributions are taken as independent; std below zero or dof not above zero throws std::invalid_argument.
struct CombinedUncertainty {
  double std = 0.0;
  double dof = kKnownDof;
};
CombinedUncertainty Combine(const std::vector<Contribution>& contributions);

// One line of an uncertainty budget: all contributions of one source, added in quadrature.
struct BudgetShare {
  std::string source;
  double std = 0.0;
  double dof = kKnownDof;
  double share = 0.0;  // of the variance; all shares add up to one, or all are zero where there is no uncertainty
};

// One line for each source, largest first; equals stay in the order in which they came.
std::vector<BudgetShare> BudgetShares(const std::vector<Contribution>& contributions);

// k such that value ± k std holds the true value with PROBABILITY (0..1): Student's t with DOF (JCGM 100, G.3.2), the
// normal distribution where DOF is infinite.
double CoverageFactor(double dof, double probability);

// An input of a function: estimate, standard uncertainty and its degrees of freedom.
struct UncertainInput {
  std::string source;
  double value = 0.0;
  double std = 0.0;  // 0: exact
  double dof = kKnownDof;
};

// y = f(x), x as long as the inputs; y always of the same length.
using VectorFunction = std::function<Eigen::VectorXd(const Eigen::VectorXd&)>;

struct Propagated {
  Eigen::VectorXd values;         // f at the estimates, one for each output
  Eigen::MatrixXd covariance;     // of the outputs
  Eigen::MatrixXd sensitivities;  // dy_i/dx_j, outputs x inputs; zero for an exact input
  Eigen::VectorXd second_order;   // variance that the second-order terms add to each output; empty: not asked for

  double Std(Eigen::Index output) const;                           // second-order terms included where asked for
  double Correlation(Eigen::Index one, Eigen::Index other) const;  // of the first-order covariance
};

struct PropagationOptions {
  // Of the inputs, symmetric with ones on the diagonal; empty: independent.
  Eigen::MatrixXd correlations;
  // The terms of the note to JCGM 100, 5.1.2 (independent inputs only). They matter where a first derivative vanishes.
  bool second_order = false;
  // False, for a function of very many outputs: the covariance stays empty, and the sensitivities say it all.
  bool covariance = true;
};

// The law of propagation of uncertainty, U_y = C U_x C^T (JCGM 100, 5.1.2 and 5.2.2; several outputs: H.2.3, note 2).
// Derivatives by central differences over a thousandth of each input's standard uncertainty, those of second order over
// 0.03: far enough apart for rounding, near enough for a function that is smooth within its inputs' uncertainty.
// A correlation matrix of the wrong size, not symmetric, with other than ones on its diagonal or with a value beyond
// ±1, or one together with second_order, throws std::invalid_argument.
Propagated Propagate(const VectorFunction& function,
                     const std::vector<UncertainInput>& inputs,
                     const PropagationOptions& options = {});

// |c_i| u(x_i) of every input to one output, with its degrees of freedom, for Combine and BudgetShares. Only where the
// inputs are independent do these account for the whole variance, and only there do effective dof exist.
std::vector<Contribution> Contributions(const Propagated& propagated,
                                        const std::vector<UncertainInput>& inputs,
                                        Eigen::Index output);

}  // namespace loftline
