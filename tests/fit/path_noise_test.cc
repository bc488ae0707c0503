// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/path_noise.h"

#include "fit/attempt.h"
#include "fit/noise_level.h"
#include "tests/support/synthetic_flight.h"

#include <cmath>

#include <gtest/gtest.h>

namespace loftline {
namespace {

class PathNoiseOfAFlight : public testing::Test {
 protected:
  PathNoiseOfAFlight() {
    const SyntheticFlight flight = Synthesize(SyntheticScene{});
    const Expected<FitInputs> inputs = PrepareFit(flight.track, flight.survey, {});
    EXPECT_TRUE(inputs);
    attempt_ = SolveFromTracks(*inputs, 1.0, {}, {}, {});
    EXPECT_TRUE(attempt_.Usable());
  }
  MotionMatrix PathPart(const FlightSolution& solution) const {
    MotionMatrix part = MotionMatrix::Zero();
    for (std::size_t i = 0; i < solution.sources.size(); ++i) {
      const MotionVector moved = solution.motion_influence.col(static_cast<Eigen::Index>(i));
      if (solution.sources[i] == kPathNoise) part += moved * moved.transpose();
    }
    return part;
  }
  Attempt attempt_;
};

// What the estimator does with errors drawn as they are spreads as Judged says: 4000 draws know a variance to 2.2 %.
TEST_F(PathNoiseOfAFlight, JudgesAsItDraws) {
  const PathNoise noise(attempt_.points);
  const MotionMatrix judged = PathPart(noise.Judged(attempt_.solution));
  RandomDraws draws(SeedFrom("path noise"));
  MotionVector variance = MotionVector::Zero();
  constexpr int kDraws = 4000;
  for (int draw = 0; draw < kDraws; ++draw) {
    const std::vector<double> errors = noise.Draw(1.0, &draws);
    ASSERT_EQ(errors.size(), 2 * attempt_.points.size());
    MotionVector moved = MotionVector::Zero();
    auto error = errors.begin();
    for (std::size_t i = 0; i < attempt_.solution.sources.size(); ++i) {
      if (attempt_.solution.sources[i] != kPathNoise) continue;
      moved += attempt_.solution.motion_influence.col(static_cast<Eigen::Index>(i)) * *error++;
    }
    variance += moved.cwiseAbs2() / kDraws;
  }
  for (const MotionParameter parameter : {kForwardMPerS, kUpMPerS, kLogDrag}) {
    EXPECT_NEAR(variance[parameter] / judged(parameter, parameter), 1.0, 0.1) << kMotionKeys[parameter];
  }
}

// Slow errors bend a path less than white ones of their weight; everything else stays as it was.
TEST_F(PathNoiseOfAFlight, IsLessThanWhiteErrorsOfTheSameWeight) {
  const FlightSolution judged = PathNoise(attempt_.points).Judged(attempt_.solution);
  const MotionMatrix before = PathPart(attempt_.solution), after = PathPart(judged);
  EXPECT_LT(after(kLogDrag, kLogDrag), before(kLogDrag, kLogDrag));
  EXPECT_GT(after(kLogDrag, kLogDrag), 0.2 * before(kLogDrag, kLogDrag));
  const MotionMatrix rest_before = attempt_.solution.motion_covariance - before;
  const MotionMatrix rest_after = judged.motion_covariance - after;
  EXPECT_LT((rest_before - rest_after).norm(), 1e-9 * rest_before.norm());
}

}  // namespace
}  // namespace loftline
