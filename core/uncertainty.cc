// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/uncertainty.h"

#include "core/distributions.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

namespace loftline {
namespace {

constexpr double kFirstStepStds = 0.001;
constexpr double kSecondStepStds = 0.03;

double FourthPower(double x) {
  return x * x * x * x;
}

// A step that the sum VALUE + step can show: nothing is lost to rounding in the step itself.
double Representable(double value, double step) {
  const volatile double moved = value + step;
  return moved - value;
}

Eigen::VectorXd Estimates(const std::vector<UncertainInput>& inputs) {
  Eigen::VectorXd x(static_cast<Eigen::Index>(inputs.size()));
  for (Eigen::Index i = 0; i < x.size(); ++i) {
    const UncertainInput& input = inputs[static_cast<std::size_t>(i)];
    if (!(input.std >= 0.0)) throw std::invalid_argument("a standard uncertainty below zero: " + input.source);
    x[i] = input.value;
  }
  return x;
}

Eigen::MatrixXd InputCovariance(const std::vector<UncertainInput>& inputs, const Eigen::MatrixXd& correlations) {
  const auto size = static_cast<Eigen::Index>(inputs.size());
  Eigen::VectorXd std(size);
  for (Eigen::Index i = 0; i < size; ++i) std[i] = inputs[static_cast<std::size_t>(i)].std;
  if (correlations.size() == 0) return std.cwiseAbs2().asDiagonal();
  if (correlations.rows() != size || correlations.cols() != size ||
      !correlations.isApprox(correlations.transpose(), 1e-12) ||
      !correlations.diagonal().isApprox(Eigen::VectorXd::Ones(size)) ||
      correlations.cwiseAbs().maxCoeff() > 1 + 1e-12) {
    throw std::invalid_argument("not a correlation matrix of these inputs");
  }
  return std.asDiagonal() * correlations * std.asDiagonal();
}

// f with some inputs moved away from their estimates.
class Moved {
 public:
  Moved(const VectorFunction& function, const Eigen::VectorXd& at, Eigen::Index outputs)
      : function_(function), at_(at), outputs_(outputs) {}
  Eigen::VectorXd operator()(Eigen::Index i, double step, Eigen::Index j = 0, double step_j = 0.0) const {
    Eigen::VectorXd x = at_;
    x[i] += step;
    x[j] += step_j;
    Eigen::VectorXd y = function_(x);
    if (y.size() != outputs_) throw std::invalid_argument("a function whose number of outputs changes");
    return y;
  }

 private:
  const VectorFunction& function_;
  const Eigen::VectorXd& at_;
  Eigen::Index outputs_;
};

// Sum over i, j of [f_ij^2 / 2 + f_i f_ijj] u_i^2 u_j^2, the note to JCGM 100, 5.1.2. The third derivatives are the
// second ones' central differences.
Eigen::VectorXd SecondOrder(const Moved& moved,
                            const Eigen::VectorXd& middle,
                            const std::vector<UncertainInput>& inputs,
                            const Eigen::VectorXd& at,
                            const Eigen::MatrixXd& first) {
  Eigen::VectorXd variance = Eigen::VectorXd::Zero(middle.size());
  const Eigen::Index size = at.size();
  std::vector<double> steps;
  for (Eigen::Index i = 0; i < size; ++i) {
    steps.push_back(Representable(at[i], kSecondStepStds * inputs[static_cast<std::size_t>(i)].std));
  }
  for (Eigen::Index i = 0; i < size; ++i) {
    const double u_i = inputs[static_cast<std::size_t>(i)].std, h = steps[static_cast<std::size_t>(i)];
    if (h == 0.0) continue;
    for (Eigen::Index j = 0; j < size; ++j) {
      const double u_j = inputs[static_cast<std::size_t>(j)].std, g = steps[static_cast<std::size_t>(j)];
      if (g == 0.0) continue;
      Eigen::VectorXd f_ij, f_ijj;
      if (i == j) {
        const Eigen::VectorXd above = moved(i, h), below = moved(i, -h);
        f_ij = (above - 2 * middle + below) / (h * h);
        f_ijj = (moved(i, 2 * h) - 2 * above + 2 * below - moved(i, -2 * h)) / (2 * h * h * h);
      } else {
        const Eigen::VectorXd pp = moved(i, h, j, g), pm = moved(i, h, j, -g), mp = moved(i, -h, j, g),
                              mm = moved(i, -h, j, -g);
        f_ij = (pp - pm - mp + mm) / (4 * h * g);
        f_ijj = ((pp - 2 * moved(i, h) + pm) - (mp - 2 * moved(i, -h) + mm)) / (2 * h * g * g);
      }
      const double weight = u_i * u_i * u_j * u_j;
      variance += weight * (f_ij.cwiseAbs2() / 2 + first.col(i).cwiseProduct(f_ijj));
    }
  }
  return variance;
}

}  // namespace

CombinedUncertainty Combine(const std::vector<Contribution>& contributions) {
  double squares = 0.0, by_dof = 0.0;
  for (const Contribution& part : contributions) {
    if (!(part.std >= 0.0) || !(part.dof > 0.0))
      throw std::invalid_argument("an impossible contribution: " + part.source);
    squares += part.std * part.std;
    by_dof += FourthPower(part.std) / part.dof;
  }
  return {std::sqrt(squares), by_dof > 0.0 ? squares * squares / by_dof : kKnownDof};
}

std::vector<BudgetShare> BudgetShares(const std::vector<Contribution>& contributions) {
  const double total = Combine(contributions).std;
  std::vector<std::string> order;
  std::map<std::string, std::vector<Contribution>> by_source;
  for (const Contribution& part : contributions) {
    std::vector<Contribution>& same = by_source[part.source];
    if (same.empty()) order.push_back(part.source);
    same.push_back(part);
  }
  std::vector<BudgetShare> shares;
  for (const std::string& source : order) {
    const CombinedUncertainty of_source = Combine(by_source[source]);
    const double ratio = total > 0.0 ? of_source.std / total : 0.0;
    shares.push_back({source, of_source.std, of_source.dof, ratio * ratio});
  }
  std::stable_sort(
      shares.begin(), shares.end(), [](const BudgetShare& a, const BudgetShare& b) { return a.share > b.share; });
  return shares;
}

double CoverageFactor(double dof, double probability) {
  return StudentQuantile(0.5 + probability / 2, dof);
}

double Propagated::Std(Eigen::Index output) const {
  const double added = second_order.size() > 0 ? second_order[output] : 0.0;
  return std::sqrt(std::max(0.0, covariance(output, output) + added));
}

double Propagated::Correlation(Eigen::Index one, Eigen::Index other) const {
  return covariance(one, other) / std::sqrt(covariance(one, one) * covariance(other, other));
}

Propagated Propagate(const VectorFunction& function,
                     const std::vector<UncertainInput>& inputs,
                     const PropagationOptions& options) {
  if (options.second_order && options.correlations.size() > 0) {
    throw std::invalid_argument("second-order terms are for independent inputs");
  }
  const Eigen::VectorXd at = Estimates(inputs);
  const Eigen::MatrixXd input_covariance = InputCovariance(inputs, options.correlations);
  Propagated result;
  result.values = function(at);
  const Moved moved(function, at, result.values.size());
  result.sensitivities = Eigen::MatrixXd::Zero(result.values.size(), at.size());
  for (Eigen::Index i = 0; i < at.size(); ++i) {
    const double step = Representable(at[i], kFirstStepStds * inputs[static_cast<std::size_t>(i)].std);
    if (step == 0.0) continue;
    result.sensitivities.col(i) = (moved(i, step) - moved(i, -step)) / (2 * step);
  }
  if (!options.covariance) return result;
  result.covariance = result.sensitivities * input_covariance * result.sensitivities.transpose();
  if (options.second_order) result.second_order = SecondOrder(moved, result.values, inputs, at, result.sensitivities);
  return result;
}

std::vector<Contribution> Contributions(const Propagated& propagated,
                                        const std::vector<UncertainInput>& inputs,
                                        Eigen::Index output) {
  std::vector<Contribution> parts;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    const double sensitivity = propagated.sensitivities(output, static_cast<Eigen::Index>(i));
    parts.push_back({inputs[i].source, std::abs(sensitivity) * inputs[i].std, inputs[i].dof});
  }
  return parts;
}

}  // namespace loftline
