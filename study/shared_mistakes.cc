// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/shared_mistakes.h"

#include "core/distributions.h"
#include "core/uncertainty.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace loftline {
namespace {

// The values with what is each one's own, and the variance that the mistakes in common add to their mean.
struct Parted {
  std::vector<Measured> own;
  double extra_variance = 0.0;
};

Parted Part(const std::vector<SharedValue>& values) {
  std::map<std::string, int> holders;
  for (const SharedValue& value : values) {
    for (const auto& [name, std] : value.shared) ++holders[name];
  }
  Parted parted;
  std::map<std::string, double> moved;  // sum of c_i, by mistake
  double squares = 0.0;
  for (const SharedValue& value : values) {
    double left = value.value.std * value.value.std;
    for (const auto& [name, std] : value.shared) {
      if (holders[name] < 2) continue;
      const double square = std::min(std * std, left);  // never more than there is
      left -= square;
      squares += square;
      moved[name] += std::sqrt(square);
    }
    parted.own.push_back({value.value.value, std::sqrt(left)});
  }
  const double count = static_cast<double>(values.size());
  double of_mean = 0.0;
  for (const auto& [name, sum] : moved) of_mean += sum / count * sum / count;
  const double in_scatter = count > 1.0 ? (squares - count * of_mean) / ((count - 1.0) * count) : 0.0;
  parted.extra_variance = std::max(0.0, of_mean - in_scatter);
  return parted;
}

double MedianStd(std::vector<Measured> values) {
  std::ranges::sort(values, {}, &Measured::std);
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half].std : 0.5 * (values[half - 1].std + values[half].std);
}

// The mean's variance by the scatter, or by the own uncertainties where these are all that there is and the scatter
// happens to be smaller (as Roever, Knapp and Friede advise, BMC Med. Res. Methodol. 15 (2015) 99): a few flights that
// agree to the last digit are no better known than they say.
double OwnVariance(const GroupMean& mean, const std::vector<Measured>& values) {
  double weight = 0.0;
  for (const Measured& value : values) {
    if (mean.between > 0.0 || !(value.std > 0.0)) return std::max(mean.variance_of_mean, 0.0);
    weight += 1.0 / (value.std * value.std);
  }
  return std::max(mean.variance_of_mean, 1.0 / weight);
}

// Cochran's homogeneity test: the squares about the mean that weighs by the stds alone.
double ScatterP(const std::vector<Measured>& values) {
  double weight = 0.0, mean = 0.0, squares = 0.0;
  for (const Measured& value : values) {
    if (!(value.std > 0.0)) return 1.0;  // nothing to judge by
    weight += 1.0 / (value.std * value.std);
    mean += value.value / (value.std * value.std);
  }
  mean /= weight;
  for (const Measured& value : values) squares += std::pow((value.value - mean) / value.std, 2);
  return ChiSquareTail(squares, static_cast<double>(values.size()) - 1.0);
}

}  // namespace

SharedMean MeanWithSharedMistakes(const std::vector<SharedValue>& values) {
  const Parted parted = Part(values);
  SharedMean shared;
  shared.mean = WeightedMean(parted.own);
  if (values.empty()) return shared;
  shared.own_std = MedianStd(parted.own);
  if (values.size() < 2) return shared;
  shared.scatter_p = ScatterP(parted.own);
  const CombinedUncertainty combined =
      Combine({{"flights", std::sqrt(OwnVariance(shared.mean, parted.own)), static_cast<double>(values.size()) - 1.0},
               {"shared", std::sqrt(parted.extra_variance), kKnownDof}});
  const double mean = shared.mean.mean, half = CoverageFactor(combined.dof, 0.95) * combined.std;
  shared.estimate = Estimate{mean, combined.std, mean - half, mean + half};
  if (combined.std > 0.0) {
    shared.p = StudentTwoTails(mean / combined.std, combined.dof);
  } else {
    shared.p = mean == 0.0 ? 1.0 : 0.0;
  }
  return shared;
}

std::vector<double> HolmAdjusted(const std::vector<double>& p) {
  std::vector<std::size_t> order(p.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::ranges::sort(order, {}, [&](std::size_t i) { return p[i]; });
  std::vector<double> adjusted(p.size());
  double largest = 0.0;
  for (std::size_t rank = 0; rank < order.size(); ++rank) {
    largest = std::max(largest, std::min(1.0, static_cast<double>(p.size() - rank) * p[order[rank]]));
    adjusted[order[rank]] = largest;
  }
  return adjusted;
}

}  // namespace loftline
