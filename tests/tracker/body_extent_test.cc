// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_extent.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr int kPlaces = 60;

// The modulus of what BRIGHTNESS(place) shows through a normal blur of SIGMA_PX, at whole places.
std::vector<double> Blurred(const std::function<double(double)>& brightness, double sigma_px) {
  std::vector<double> shown;
  for (int place = 0; place < kPlaces; ++place) {
    double sum = 0.0, weights = 0.0;
    for (double step = -4.0; step <= 4.0; step += 0.05) {
      const double weight = std::exp(-0.5 * step * step);
      sum += weight * brightness(place + step * sigma_px);
      weights += weight;
    }
    shown.push_back(std::abs(sum / weights));
  }
  return shown;
}

BodyExtent Find(const std::vector<double>& contrast) {
  return FindBodyExtent(contrast, std::vector<char>(contrast.size(), 0));
}

// A tube from 20.3 to 36.0, 100 wide, and a nose of 4 px before it that narrows with the power of the way to the tip.
std::vector<double> Tube(double power, double fins = 100.0) {
  return Blurred(
      [=](double place) {
        if (place < 20.3 || place > 40.0) return 0.0;
        if (place > 36.0) return 100.0 * std::pow((40.0 - place) / 4.0, power);
        return place < 23.3 ? fins : 100.0;
      },
      0.7);
}

// A paraboloid (power 1/2), an ogive's slenderness (0.7) and a cone (1): the tip is known to half a pixel, which is a
// quarter of a pixel of the middle.
TEST(BodyExtent, FindsTheMiddleForEveryNose) {
  for (const double power : {0.5, 0.7, 1.0}) {
    const BodyExtent extent = Find(Tube(power));
    EXPECT_NEAR(extent.middle_px, 0.5 * (20.3 + 40.0), 0.26) << power;
    EXPECT_NEAR(extent.length_px, 40.0 - 20.3, 0.52) << power;
    EXPECT_LT(std::abs(extent.middle_px - 30.15), 2.5 * extent.middle_std_px) << power;
  }
}

// Wide fins, narrow ones, and dark ones on a bright body, whose place shows nothing where the one gives way to the
// other.
TEST(BodyExtent, TheTailIsWhereTheFinsEnd) {
  for (const double fins : {250.0, 160.0, 60.0, -100.0}) {
    EXPECT_NEAR(Find(Tube(0.7, fins)).middle_px, 30.15, 0.3) << fins;
  }
}

// The ripple that an undone streak leaves before a body is no fin.
TEST(BodyExtent, ALowRippleIsNoTail) {
  std::vector<double> contrast = Tube(0.7);
  const double plain_px = Find(contrast).middle_px;
  contrast[15] = 8.0, contrast[16] = 14.0, contrast[17] = 9.5;
  EXPECT_NEAR(Find(contrast).middle_px, plain_px, 0.05);
}

// Both ends dark and the body between lost before a cloud: what showed before other backgrounds joins them.
TEST(BodyExtent, WhatShowedElsewhereBridgesAGap) {
  const std::vector<double> whole = Tube(0.7, 160.0);
  std::vector<double> gap = whole;
  std::fill(gap.begin() + 25, gap.begin() + 35, 0.0);
  EXPECT_LT(Find(gap).length_px, 12.0);
  std::vector<char> anywhere(whole.size(), 0);
  std::fill(anywhere.begin() + 20, anywhere.begin() + 40, 1);
  EXPECT_NEAR(FindBodyExtent(gap, anywhere).middle_px, Find(whole).middle_px, 0.05);
}

TEST(BodyExtent, KnowsASlowFallLessWellThanASharpOne) {
  const auto sharp = Blurred([](double place) { return place > 20.0 && place < 40.0 ? 100.0 : 0.0; }, 0.5);
  const auto slow = Blurred([](double place) { return place > 20.0 && place < 40.0 ? 100.0 : 0.0; }, 2.5);
  EXPECT_GT(Find(slow).middle_std_px, 2.0 * Find(sharp).middle_std_px);
}

TEST(BodyExtent, KnowsAnEndInNoiseLessWell) {
  const std::vector<double> clean = Tube(0.7);
  std::vector<double> noisy = clean;
  for (std::size_t i = 0; i < noisy.size(); ++i) noisy[i] += i % 2 == 0 ? 0.0 : 12.0;
  EXPECT_GT(Find(noisy).middle_std_px, 1.3 * Find(clean).middle_std_px);
  EXPECT_NEAR(Find(noisy).middle_px, Find(clean).middle_px, 2.0 * Find(noisy).middle_std_px);
}

}  // namespace
}  // namespace loftline::test
