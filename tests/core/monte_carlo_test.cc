// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The generator and the rules for intervals; the published examples are in tests/references/jcgm101_test.cc.
#include "core/monte_carlo.h"

#include <cmath>
#include <numeric>
#include <stdexcept>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// ISO C++, [rand.predef]: the 10000th value of mt19937_64 with its default seed, 5489, is 9981545732273789042.
TEST(RandomDraws, AreTheSameOnEveryMachine) {
  RandomDraws draws(5489);
  for (int i = 1; i < 10000; ++i) draws.Uniform();
  EXPECT_EQ(draws.Uniform(), (static_cast<double>(9981545732273789042ULL >> 11) + 0.5) * 0x1.0p-53);
}

TEST(RandomDraws, RepeatWithTheirSeed) {
  RandomDraws one(7), same(7), other(8);
  const double first = one.Normal(0, 1);
  EXPECT_EQ(first, same.Normal(0, 1));
  EXPECT_NE(first, other.Normal(0, 1));
}

// Moments of 100 000 draws. Each bound is five standard errors of that moment.
TEST(RandomDraws, HaveTheirMoments) {
  constexpr int kCount = 100000;
  RandomDraws draws(1);
  std::vector<double> normal, rectangular, student;
  for (int i = 0; i < kCount; ++i) {
    normal.push_back(draws.Normal(3, 2));
    rectangular.push_back(draws.Rectangular(-1, 5));
    student.push_back(draws.Student(1, 0.5, 10));
  }
  EXPECT_NEAR(SampleMean(normal), 3, 5 * 2 / std::sqrt(kCount));
  EXPECT_NEAR(SampleStd(normal), 2, 5 * 2 / std::sqrt(2.0 * kCount));
  EXPECT_NEAR(SampleMean(rectangular), 2, 5 * std::sqrt(3.0) / std::sqrt(kCount));
  EXPECT_NEAR(SampleStd(rectangular), std::sqrt(3.0), 5 * std::sqrt(3.0) / std::sqrt(2.0 * kCount));
  const double student_std = 0.5 * std::sqrt(10.0 / 8.0);  // JCGM 101, 6.4.9.4: s sqrt(dof/(dof - 2))
  EXPECT_NEAR(SampleMean(student), 1, 5 * student_std / std::sqrt(kCount));
  EXPECT_NEAR(SampleStd(student), student_std, 5 * student_std / std::sqrt(kCount));
}

TEST(RandomDraws, CarryACovariance) {
  constexpr int kCount = 100000;
  Eigen::Matrix2d root;
  root << 2, 0, 1.5, 0.5;
  const Eigen::Matrix2d wanted = root * root.transpose();
  RandomDraws draws(2);
  Eigen::Matrix2d sum = Eigen::Matrix2d::Zero();
  for (int i = 0; i < kCount; ++i) {
    const Eigen::Vector2d draw = draws.NormalVector(Eigen::Vector2d(10, 20), root) - Eigen::Vector2d(10, 20);
    sum += draw * draw.transpose();
  }
  // Five standard errors of the largest element, 4 sqrt(2 / count).
  EXPECT_LT((sum / kCount - wanted).cwiseAbs().maxCoeff(), 5 * 4 * std::sqrt(2.0 / kCount));
}

TEST(Samples, HaveMeanAndStd) {
  EXPECT_DOUBLE_EQ(SampleMean({1, 2, 3, 6}), 3.0);
  EXPECT_DOUBLE_EQ(SampleStd({1, 2, 3, 6}), std::sqrt(14.0 / 3));
  EXPECT_THROW(SampleMean({}), std::invalid_argument);
  EXPECT_THROW(SampleStd({1}), std::invalid_argument);
}

std::vector<double> Count(int last) {
  std::vector<double> samples(static_cast<std::size_t>(last));
  std::iota(samples.rbegin(), samples.rend(), 1.0);
  return samples;
}

// JCGM 101, 7.7.2 by hand. M = 100: q = 95, M - q = 5 is odd, r the whole part of (5 + 1)/2: 3 to 98. M = 40: q = 38,
// r = 1: 1 to 39.
TEST(SymmetricInterval, FollowsTheRule) {
  EXPECT_EQ(SymmetricInterval(Count(100), 0.95).low, 3);
  EXPECT_EQ(SymmetricInterval(Count(100), 0.95).high, 98);
  EXPECT_EQ(SymmetricInterval(Count(40), 0.95).low, 1);
  EXPECT_EQ(SymmetricInterval(Count(40), 0.95).high, 39);
}

TEST(ShortestInterval, LeavesOutTheLongTail) {
  std::vector<double> samples = Count(100);
  samples[0] = 1000;  // was 100
  samples[1] = 900;
  EXPECT_EQ(ShortestInterval(samples, 0.95).low, 1);
  EXPECT_EQ(ShortestInterval(samples, 0.95).high, 96);
}

TEST(Intervals, RefuseTooFewSamples) {
  EXPECT_THROW(SymmetricInterval(Count(10), 0.95), std::invalid_argument);
  EXPECT_THROW(ShortestInterval(Count(10), 0.95), std::invalid_argument);
  EXPECT_THROW(SymmetricInterval(Count(100), 1.0), std::invalid_argument);
  EXPECT_EQ(SymmetricInterval(Count(20), 0.95).high, 20);
}

}  // namespace
}  // namespace loftline
