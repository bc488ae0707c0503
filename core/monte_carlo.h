// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// Propagation of distributions by Monte Carlo (JCGM 101:2008): draws of the inputs, and what the outputs' sample says.

// The same seed gives the same draws on every machine: the C++ standard fixes std::mt19937_64 to the bit, but leaves
// its distributions to each library, so they are made here, by the inverse of each distribution function.
class RandomDraws {
 public:
  explicit RandomDraws(std::uint64_t seed) : engine_(seed) {}

  double Uniform();                                     // between 0 and 1, neither of them ever
  double Normal(double mean, double std);               // JCGM 101, 6.4.7
  double Rectangular(double low, double high);          // 6.4.2
  double Student(double mean, double std, double dof);  // scaled and shifted t, 6.4.9; STD is the scale s, not the sd
  // mean + root z, z independent standard normal: covariance root root^T (6.4.8), root for example a Cholesky factor.
  Eigen::VectorXd NormalVector(const Eigen::VectorXd& mean, const Eigen::MatrixXd& covariance_root);

 private:
  std::mt19937_64 engine_;
};

// Average and standard deviation of a sample (7.6, equations 16 and 17: over M - 1).
// Fewer than one or two values throw std::invalid_argument.
double SampleMean(const std::vector<double>& samples);
double SampleStd(const std::vector<double>& samples);

struct Interval {
  double low = 0.0;
  double high = 0.0;
};

// Coverage intervals that hold PROBABILITY of the sample: with as much beyond either end (7.7.2), and the shortest of
// all (7.7.3), whose place, unlike its width, a sample fixes poorly. They throw std::invalid_argument for samples too
// few to leave one out (20 for 95 %); for two digits of the ends a sample should have 10^4/(1 - PROBABILITY) (7.2.1).
Interval SymmetricInterval(std::vector<double> samples, double probability);
Interval ShortestInterval(std::vector<double> samples, double probability);

}  // namespace loftline
