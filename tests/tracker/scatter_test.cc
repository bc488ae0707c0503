// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/scatter.h"

#include <cmath>
#include <random>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

// Values that wander smoothly by 0.3, with normal scatter of TRUE_STD, claimed to be CLAIMED_STD.
std::vector<ScatterLook> Draw(double true_std, double claimed_std, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0.0, true_std);
  std::vector<ScatterLook> looks;
  for (int frame = 100; frame < 300; ++frame) {
    looks.push_back({frame, 0.3 * std::sin(0.06 * frame) + noise(random), claimed_std * claimed_std});
  }
  return looks;
}

// 200 values, those four apart being compared: a standard deviation known to about 6 %.
TEST(ScatterScale, IsTheTrueScatterOverTheClaimedOne) {
  EXPECT_NEAR(ScatterScale(Draw(0.1, 0.1, 1)), 1.0, 0.18);
  EXPECT_NEAR(ScatterScale(Draw(0.1, 0.05, 2)), 2.0, 0.36);
  EXPECT_NEAR(ScatterScale(Draw(0.1, 0.4, 3)), 0.25, 0.045);
}

TEST(ScatterScale, AFewWildValuesDoNotCount) {
  std::vector<ScatterLook> looks = Draw(0.1, 0.1, 4);
  for (std::size_t i = 7; i < looks.size(); i += 40) looks[i].value += 5.0;
  EXPECT_LT(ScatterScale(looks), 1.4);
}

// Compression and a profile that does not fit quite make neighbours err alike.
TEST(ScatterScale, HoldsErrorsThatNeighboursShare) {
  std::vector<ScatterLook> looks = Draw(0.02, 0.05, 5);
  std::mt19937 random(6);
  std::normal_distribution<double> step(0.0, 1.0);
  double shared = 0.0;
  for (ScatterLook& look : looks) {
    shared = 0.7 * shared + std::sqrt(1.0 - 0.7 * 0.7) * 0.1 * step(random);
    look.value += shared;
  }
  EXPECT_GT(ScatterScale(looks), 1.5);  // 0.1 * sqrt(1 - 0.7^4) over 0.05: 1.7
}

TEST(ScatterScale, IsOneWithTooFewFrames) {
  std::vector<ScatterLook> looks = Draw(0.1, 0.01, 7);
  looks.resize(15);
  EXPECT_EQ(ScatterScale(looks), 1.0);
  for (ScatterLook& look : looks) look.frame *= 3;  // none four frames apart
  EXPECT_EQ(ScatterScale(looks), 1.0);
}

}  // namespace
}  // namespace loftline::test
