// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/piecewise.h"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

const Eigen::VectorXd kValues = (Eigen::VectorXd(5) << 2.0, -1.0, 4.0, 0.5, 3.0).finished();

// Straight from the definition, one hat function a value.
double Plain(double place) {
  double sum = 0.0;
  for (Eigen::Index i = 0; i < kValues.size(); ++i) {
    sum += kValues[i] * std::max(0.0, 1.0 - std::abs(place - static_cast<double>(i)));
  }
  return sum;
}

TEST(Piecewise, IsStraightBetweenItsValuesAndFallsToNothingBeyond) {
  const Piecewise line(kValues);
  for (int i = -30; i <= 70; ++i) EXPECT_NEAR(line.At(0.1 * i), Plain(0.1 * i), 1e-12) << i;
}

TEST(Piecewise, MeanIsThatOfManyPlaces) {
  const Piecewise line(kValues);
  constexpr int kPlaces = 20000;
  for (const double width : {0.1, 0.7, 2.5, 9.0}) {
    for (const double middle : {-2.0, -0.4, 0.0, 1.3, 4.0, 5.5}) {
      double sum = 0.0;
      for (int i = 0; i < kPlaces; ++i) sum += Plain(middle + width * ((i + 0.5) / kPlaces - 0.5));
      EXPECT_NEAR(line.Mean(middle, width), sum / kPlaces, 1e-5) << width << " around " << middle;
    }
  }
}

TEST(Piecewise, OfNothingIsNothing) {
  EXPECT_EQ(Piecewise().At(0.0), 0.0);
  EXPECT_EQ(Piecewise().Mean(0.0, 3.0), 0.0);
}

}  // namespace
}  // namespace loftline::test
