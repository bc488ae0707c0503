// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/group_mean.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace loftline {
namespace {

// Deviations of values from their plain mean, and the variance of each apart from the group's own spread.
struct Deviations {
  std::vector<double> value, variance;
};

struct WeightedSums {
  double weight = 0.0, mean = 0.0;
  double squares = 0.0;  // of the deviations from MEAN, weighted
  double slope = 0.0;    // of SQUARES by tau^2
};

WeightedSums SumUp(const Deviations& deviations, double tau2) {
  WeightedSums sums;
  for (std::size_t i = 0; i < deviations.value.size(); ++i) {
    const double weight = 1.0 / (tau2 + deviations.variance[i]);
    sums.weight += weight;
    sums.mean += weight * deviations.value[i];
  }
  sums.mean /= sums.weight;
  for (std::size_t i = 0; i < deviations.value.size(); ++i) {
    const double weight = 1.0 / (tau2 + deviations.variance[i]);
    const double off = deviations.value[i] - sums.mean;
    sums.squares += weight * off * off;
    sums.slope -= weight * weight * off * off;
  }
  return sums;
}

// The tau^2 at which the weighted squares are what n - 1 degrees of freedom lead one to expect; 0 where the stds alone
// explain as much or more. The squares fall and are convex in tau^2, so that Newton's steps from zero never overshoot.
double PauleMandel(const Deviations& deviations) {
  const double dof = static_cast<double>(deviations.value.size()) - 1.0;
  double tau2 = 0.0;
  for (int i = 0; i < 200; ++i) {  // far from the root a step no more than doubles tau^2
    const WeightedSums sums = SumUp(deviations, tau2);
    if (sums.squares <= dof) break;
    const double step = (dof - sums.squares) / sums.slope;
    tau2 += step;
    if (step <= 1e-15 * tau2) break;
  }
  return tau2;
}

double Median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

void Check(const std::vector<Measured>& values) {
  for (const Measured& value : values) {
    if (!std::isfinite(value.value)) throw std::invalid_argument("a value is not finite");
    if (!(std::isfinite(value.std) && value.std >= 0.0))
      throw std::invalid_argument("an uncertainty must be 0 or more");
  }
}

double LargestStd(const std::vector<Measured>& values) {
  double largest = 0.0;
  for (const Measured& value : values) largest = std::max(largest, value.std);
  return largest;
}

}  // namespace

GroupMean PlainMean(const std::vector<double>& values) {
  GroupMean group;
  group.count = values.size();
  if (values.empty()) return group;
  const double count = static_cast<double>(values.size());
  for (const double value : values) group.mean += (value - values.front()) / count;  // leading digits cancel
  group.mean += values.front();
  if (values.size() < 2) return group;
  double squares = 0.0;
  for (const double value : values) squares += (value - group.mean) * (value - group.mean);
  group.spread = std::sqrt(squares / (count - 1.0));
  group.between = group.spread;
  group.variance_of_mean = group.spread * group.spread / count;
  return group;
}

GroupMean WeightedMean(const std::vector<Measured>& values) {
  Check(values);
  std::vector<double> plain;
  plain.reserve(values.size());
  for (const Measured& value : values) plain.push_back(value.value);
  GroupMean group = PlainMean(plain);
  const double largest_std = LargestStd(values);
  if (values.size() < 2 || largest_std == 0.0) return group;

  Deviations deviations;
  std::vector<double> stds;
  for (const Measured& value : values) {
    stds.push_back(std::max(value.std, 1e-6 * largest_std));
    deviations.value.push_back(value.value - group.mean);
    deviations.variance.push_back(stds.back() * stds.back());
  }
  const double tau2 = PauleMandel(deviations);
  const WeightedSums sums = SumUp(deviations, tau2);
  const double squares_per_dof = sums.squares / (static_cast<double>(values.size()) - 1.0);
  const double median_std = Median(stds);
  group.mean += sums.mean;
  group.between = std::sqrt(tau2);
  group.variance_of_mean = squares_per_dof / sums.weight;
  group.spread = std::sqrt(squares_per_dof * (tau2 + median_std * median_std));
  return group;
}

}  // namespace loftline
