// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/monte_carlo.h"

#include "core/distributions.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>

namespace loftline {
namespace {

// q of JCGM 101, 7.7.1: how many steps from the lower end to the upper, the whole part of pM + 1/2.
std::size_t StepsInside(std::size_t count, double probability) {
  if (!(probability > 0.0 && probability < 1.0)) throw std::invalid_argument("a probability must lie between 0 and 1");
  const auto steps = static_cast<std::size_t>(std::lround(probability * static_cast<double>(count)));
  if (steps >= count) throw std::invalid_argument("too few samples for that probability");
  return steps;
}

}  // namespace

double RandomDraws::Uniform() {
  return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1.0p-53;
}

double RandomDraws::Normal(double mean, double std) {
  return mean + std * NormalQuantile(Uniform());
}

double RandomDraws::Rectangular(double low, double high) {
  return low + (high - low) * Uniform();
}

double RandomDraws::Student(double mean, double std, double dof) {
  return mean + std * StudentQuantile(Uniform(), dof);
}

Eigen::VectorXd RandomDraws::NormalVector(const Eigen::VectorXd& mean, const Eigen::MatrixXd& covariance_root) {
  Eigen::VectorXd independent(covariance_root.cols());
  for (double& draw : independent) draw = Normal(0.0, 1.0);
  return mean + covariance_root * independent;
}

double SampleMean(const std::vector<double>& samples) {
  if (samples.empty()) throw std::invalid_argument("no samples");
  return std::accumulate(samples.begin(), samples.end(), 0.0) / static_cast<double>(samples.size());
}

double SampleStd(const std::vector<double>& samples) {
  if (samples.size() < 2) throw std::invalid_argument("one sample has no spread");
  const double mean = SampleMean(samples);
  double squares = 0.0;
  for (const double sample : samples) squares += (sample - mean) * (sample - mean);
  return std::sqrt(squares / static_cast<double>(samples.size() - 1));
}

Interval SymmetricInterval(std::vector<double> samples, double probability) {
  const std::size_t inside = StepsInside(samples.size(), probability);
  std::sort(samples.begin(), samples.end());
  const std::size_t first = (samples.size() - inside + 1) / 2;  // r of 7.7.2, counted from one
  return {samples[first - 1], samples[first - 1 + inside]};
}

Interval ShortestInterval(std::vector<double> samples, double probability) {
  const std::size_t inside = StepsInside(samples.size(), probability);
  std::sort(samples.begin(), samples.end());
  std::size_t best = 0;
  for (std::size_t i = 1; i + inside < samples.size(); ++i) {
    if (samples[i + inside] - samples[i] < samples[best + inside] - samples[best]) best = i;
  }
  return {samples[best], samples[best + inside]};
}

}  // namespace loftline
