// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The measured position of one body against published bounds:
//   Winick, "Cramer-Rao lower bounds on the performance of charge-coupled-device optical position estimators",
//     J. Opt. Soc. Am. A 3 (1986) 1809: no unbiased estimator spreads less;
//   Alexander & Ng, "Elimination of systematic error in subpixel accuracy centroid estimation", Opt. Eng. 30 (1991)
//     1320: the centroid of a sampled Gaussian errs by a sine of the pixel phase, of amplitude exp(-2 pi^2 s^2) / pi
//     px.
#include "tests/tracker/synthetic_frames.h"
#include "tracker/measure_body.h"

#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include <Eigen/LU>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr double kPi = std::numbers::pi;

// Share of a Gaussian of unit area, of spread S about 0, between A and B.
double GaussianShare(double a, double b, double s) {
  return 0.5 * (std::erf(b / (s * std::numbers::sqrt2)) - std::erf(a / (s * std::numbers::sqrt2)));
}

// Pixels from -reach to reach, each with the mean of AT over it as its difference.
using PixelMean = std::function<double(int x, int y)>;
std::vector<BodyPixel> Pixels(int reach_x, int reach_y, const PixelMean& mean, double noise, std::mt19937_64* random) {
  std::normal_distribution<double> normal(0.0, 1.0);
  std::vector<BodyPixel> pixels;
  for (int y = -reach_y; y <= reach_y; ++y) {
    for (int x = -reach_x; x <= reach_x; ++x) {
      const double draw = random != nullptr ? noise * normal(*random) : 0.0;
      pixels.push_back({static_cast<float>(x), static_cast<float>(y), static_cast<float>(mean(x, y) + draw)});
    }
  }
  return pixels;
}

// A streak along x, even over LENGTH_PX, with a Gaussian profile of height PEAK and spread S across.
PixelMean Streak(const Eigen::Vector2d& middle, double length_px, double peak, double s) {
  return [=](int x, int y) {
    const double covered = std::clamp(middle.x() + 0.5 * length_px - (x - 0.5), 0.0, 1.0) +
                           std::clamp(x + 0.5 - (middle.x() - 0.5 * length_px), 0.0, 1.0) - 1.0;
    const double across = GaussianShare(y - 0.5 - middle.y(), y + 0.5 - middle.y(), s);
    return std::max(0.0, covered) * peak * std::sqrt(2.0 * kPi) * s * across;
  };
}

PixelMean Spot(const Eigen::Vector2d& middle, double peak, double s) {
  return [=](int x, int y) {
    return 2.0 * kPi * s * s * peak * GaussianShare(x - 0.5 - middle.x(), x + 0.5 - middle.x(), s) *
           GaussianShare(y - 0.5 - middle.y(), y + 0.5 - middle.y(), s);
  };
}

// Across a streak the position is a centroid, and without noise it errs as the theory says, no more and no less.
TEST(Centroid, PixelPhaseErrorAcrossIsTheOneOfAlexanderAndNg) {
  for (const double s : {0.3, 0.4, 0.5, 0.6}) {
    const double amplitude_px = std::exp(-2.0 * kPi * kPi * s * s) / kPi;
    double largest_px = 0.0;
    for (int i = 0; i < 20; ++i) {
      const double phase = i / 20.0;
      const auto body = MeasureBody(Pixels(24, 8, Streak({0.0, phase}, 31.0, 120.0, s), 0.0, nullptr), 0.0);
      ASSERT_TRUE(body);
      const double error_px = body->at_px.y() - phase;
      largest_px = std::max(largest_px, std::abs(error_px));
      // A few per cent for the second term of the series at s = 0.3, and single-precision pixels.
      EXPECT_NEAR(std::abs(error_px), amplitude_px * std::abs(std::sin(2.0 * kPi * phase)), 0.03 * amplitude_px + 2e-5)
          << "s " << s << " phase " << phase;
    }
    EXPECT_NEAR(largest_px, amplitude_px, 0.03 * amplitude_px + 2e-5) << "s " << s;
  }
}

// Along the axis the position is the middle of two edges. It may err with the pixel's phase, but must not lean.
TEST(Centroid, PixelPhaseErrorAlongIsSmallAndUnbiased) {
  double sum_px = 0.0;
  double largest_px = 0.0;
  constexpr int kPhases = 40;
  for (int i = 0; i < kPhases; ++i) {
    const double phase = (i + 0.5) / kPhases - 0.5;
    const auto body = MeasureBody(Pixels(24, 8, Streak({phase, 0.0}, 17.3, 120.0, 1.2), 0.0, nullptr), 0.0);
    ASSERT_TRUE(body);
    sum_px += body->at_px.x() - phase;
    largest_px = std::max(largest_px, std::abs(body->at_px.x() - phase));
  }
  EXPECT_LT(std::abs(sum_px / kPhases), 1e-3);
  EXPECT_LT(largest_px, 0.1);
}

struct Spread {
  Eigen::Vector2d mean = Eigen::Vector2d::Zero(), std = Eigen::Vector2d::Zero();  // of the error, px
  Eigen::Vector2d promised = Eigen::Vector2d::Zero();                             // root of the mean covariance
};

Spread SpreadOf(const std::function<PixelMean(const Eigen::Vector2d&)>& shape, int reach_x, int reach_y, double noise) {
  std::mt19937_64 random(SeedOfTest());
  std::uniform_real_distribution<double> phase(-0.5, 0.5);
  constexpr int kDraws = 2000;
  Eigen::Array2d sum = Eigen::Array2d::Zero();
  Eigen::Array2d sum2 = Eigen::Array2d::Zero();
  Eigen::Array2d promised = Eigen::Array2d::Zero();
  for (int i = 0; i < kDraws; ++i) {
    const Eigen::Vector2d middle(phase(random), phase(random));
    const auto body = MeasureBody(Pixels(reach_x, reach_y, shape(middle), noise, &random), noise);
    if (!body) {
      ADD_FAILURE() << "not measured";
      continue;
    }
    const Eigen::Array2d error = (body->at_px - middle).array();
    sum += error;
    sum2 += error.square();
    promised += body->cov_px2.diagonal().array();
  }
  Spread spread;
  spread.mean = sum / kDraws;
  spread.std = (sum2 / kDraws - (sum / kDraws).square()).sqrt();
  spread.promised = (promised / kDraws).sqrt();
  return spread;
}

// Winick: sd >= (sigma / A) sqrt(2 a / (sqrt(pi) / s)) per line of pixels, over the root of the number of lines. With
// sigma 2, A 100, s 1.2 and a streak of 31 columns.
TEST(Centroid, SpreadAcrossAStreakKeepsTheCramerRaoBound) {
  const double s = 1.2;
  const double length_px = 31.0;
  const Spread spread =
      SpreadOf([&](const Eigen::Vector2d& middle) { return Streak(middle, length_px, 100.0, s); }, 22, 5, 2.0);
  const double bound_px = 2.0 / 100.0 * std::sqrt(2.0 * s / std::sqrt(kPi)) / std::sqrt(length_px);
  EXPECT_GE(spread.std.y(), 0.95 * bound_px);  // 2000 draws know a spread to 1.6 %
  // The plain centroid over 11 rows: sigma sqrt(sum of y^2) over the line's signal; here 0.0125 px.
  const double centroid_px = 2.0 * std::sqrt(110.0) / (100.0 * std::sqrt(2.0 * kPi) * s) / std::sqrt(length_px);
  // The axis is estimated too, and slices beyond the ends hold nothing but noise: half as much again is allowed.
  EXPECT_LE(spread.std.y(), 1.5 * centroid_px);
  EXPECT_LT(std::abs(spread.mean.y()), 5.0 * centroid_px / std::sqrt(2000.0));
  EXPECT_GE(spread.promised.y(), 0.9 * spread.std.y());
}

// Winick, two dimensions: sd >= sqrt(2 / pi) sigma / A = 0.797885 sigma / A whatever the spot's size; sigma 2, A 100:
// 0.0159577 px. The plain centre of mass over 11 x 11 pixels has 0.0277 px.
TEST(Centroid, SpreadOfARoundSpotKeepsTheCramerRaoBound) {
  const double bound_px = 0.0159577;
  const Spread spread = SpreadOf([](const Eigen::Vector2d& middle) { return Spot(middle, 100.0, 2.0); }, 5, 5, 2.0);
  for (const int axis : {0, 1}) {
    EXPECT_GE(spread.std[axis], 0.95 * bound_px);
    EXPECT_LE(spread.std[axis], 6.0 * bound_px);
    EXPECT_LT(std::abs(spread.mean[axis]), 0.01);
    EXPECT_GE(spread.promised[axis], 0.9 * spread.std[axis]);
  }
}

// Dark bodies are measured as bright ones are.
TEST(Centroid, SignOfTheContrastDoesNotMatter) {
  const Eigen::Vector2d middle(0.3, -0.2);
  const PixelMean bright = Streak(middle, 17.0, 80.0, 1.3);
  const auto a = MeasureBody(Pixels(16, 6, bright, 0.0, nullptr), 1.0);
  const auto b = MeasureBody(Pixels(
                                 16, 6, [&](int x, int y) { return -bright(x, y); }, 0.0, nullptr),
                             1.0);
  ASSERT_TRUE(a && b);
  EXPECT_NEAR((a->at_px - b->at_px).norm(), 0.0, 1e-9);
  EXPECT_NEAR(a->length_px, b->length_px, 1e-9);
}

// Ends are read low on their slopes, so that a soft edge adds about half a pixel at each; what the streak grows by, the
// length must grow by.
TEST(Centroid, LengthAndAxisAreTheStreaks) {
  double excess_px = 0.0;
  for (const double length_px : {9.0, 14.5, 22.25, 30.0}) {
    const auto body = MeasureBody(Pixels(24, 6, Streak({0.2, 0.4}, length_px, 90.0, 1.1), 0.0, nullptr), 1.0);
    ASSERT_TRUE(body);
    if (length_px == 9.0) excess_px = body->length_px - length_px;
    EXPECT_NEAR(body->length_px - length_px, excess_px, 0.3);
    EXPECT_NEAR(body->axis_rad, 0.0, 1e-6);
    // The covariance is wider along the streak than across it.
    EXPECT_GT(body->cov_px2(0, 0), body->cov_px2(1, 1));
    EXPECT_GT(body->cov_px2.determinant(), 0.0);
  }
  EXPECT_GE(excess_px, 0.0);
  EXPECT_LE(excess_px, 2.0);
}

TEST(Centroid, NothingIsNotMeasured) {
  EXPECT_FALSE(MeasureBody({}, 1.0));
  EXPECT_FALSE(MeasureBody({{0.0F, 0.0F, 50.0F}, {1.0F, 0.0F, 50.0F}}, 1.0));
  EXPECT_FALSE(MeasureBody(Pixels(
                               3, 3, [](int, int) { return 0.0; }, 0.0, nullptr),
                           1.0));
}

}  // namespace
}  // namespace loftline::test
