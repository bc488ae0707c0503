// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/side_light.h"

#include <cmath>
#include <numbers>
#include <random>

#include <Eigen/Dense>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr int kLooks = 180;
constexpr double kNoisePx = 0.04;

// A flight whose path turns through 130 degrees. BEFORE_TREES: its first and last sixth pass before trees, where the
// body is brighter than what is behind it; before the sky it is darker. The body's true offset wanders smoothly.
struct Flight {
  std::vector<SideLook> looks;
  std::vector<double> true_px;
};

Flight Fly(const Eigen::Vector2d& strength, bool before_trees, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0.0, kNoisePx);
  Flight flight;
  for (int i = 0; i < kLooks; ++i) {
    const double share = i / (kLooks - 1.0), turned = (65.0 - 130.0 * share) * std::numbers::pi / 180.0;
    const Eigen::Vector2d axis(std::cos(turned), -std::sin(turned));
    const bool trees = before_trees && (i < kLooks / 6 || i >= kLooks - kLooks / 6);
    SideLook look{3.0 * share, {-axis.y(), axis.x()}, 0.0, trees ? 0.1 : -0.25};
    flight.true_px.push_back(0.25 * std::sin(2.5 * look.time_s) - 0.1);
    look.offset_px = flight.true_px.back() + strength.dot(look.normal) * look.side_px + noise(random);
    flight.looks.push_back(look);
  }
  return flight;
}

double RmsErrorPx(const Flight& flight, const SideLight& light) {
  double sum_px2 = 0.0;
  for (int i = 0; i < kLooks; ++i) {
    const auto at = static_cast<std::size_t>(i);
    sum_px2 += std::pow(flight.looks[at].offset_px - light.ShiftPx(flight.looks[at]) - flight.true_px[at], 2);
  }
  return std::sqrt(sum_px2 / kLooks);
}

// Half of what light from the side does by itself is far more than what is wanted of a place, 0.25 px.
TEST(SideLight, IsFoundWhereTheBackgroundChanges) {
  for (const Eigen::Vector2d& strength :
       {Eigen::Vector2d(1.0, -0.6), Eigen::Vector2d(-1.2, 0.2), Eigen::Vector2d(0.3, -1.3)}) {
    const Flight flight = Fly(strength, true, 5);
    const SideLight light = EstimateSideLight(flight.looks);
    EXPECT_LT(RmsErrorPx(flight, light), 0.45 * RmsErrorPx(flight, SideLight())) << strength.transpose();
    // Within three of the standard deviations that it states.
    const Eigen::Vector2d off = light.strength - strength;
    EXPECT_LT(off.dot(light.cov.inverse() * off), 9.0 + 4.6) << strength.transpose();
  }
}

// Nothing is made up before one background, however strong the light: then a path that bends looks the same.
TEST(SideLight, IsLeftOpenBeforeOneBackground) {
  const Flight flight = Fly({1.0, -0.6}, false, 6);
  const SideLight light = EstimateSideLight(flight.looks);
  const double stated_px = std::sqrt(light.VariancePx2(flight.looks[kLooks / 2]));
  EXPECT_GT(stated_px, 0.1);
  EXPECT_LT(RmsErrorPx(flight, light), 1.1 * RmsErrorPx(flight, SideLight()));
}

TEST(SideLight, DoesNoHarmWithoutLight) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const Flight flight = Fly({0.0, 0.0}, true, seed);
    EXPECT_LT(RmsErrorPx(flight, EstimateSideLight(flight.looks)), 0.06) << seed;  // noise alone is 0.04
  }
}

TEST(SideLight, NeverStrongerThanLightFromTheSideAlone) {
  const Flight flight = Fly({40.0, 10.0}, true, 7);
  EXPECT_LE(EstimateSideLight(flight.looks).strength.norm(), 2.0 + 1e-9);
}

// Then it comes from above, which is up in the picture, but is known by no more than that.
TEST(SideLight, FewLooksTellNothing) {
  Flight flight = Fly({1.0, 1.0}, true, 8);
  flight.looks.resize(20);
  const SideLight light = EstimateSideLight(flight.looks);
  EXPECT_EQ(light.strength.x(), 0.0);
  EXPECT_LT(light.strength.y(), 0.0);
  EXPECT_GT(light.cov(0, 0), 0.5);
  EXPECT_GT(std::sqrt(light.cov(1, 1)), std::abs(light.strength.y()));
}

}  // namespace
}  // namespace loftline::test
