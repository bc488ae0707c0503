// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/gravity.h"

#include "core/measured.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

// Recomputed from the four defining constants of WGS 84 (NIMA TR8350.2, 2000) by the closed formulas for the level
// ellipsoid (Heiskanen & Moritz 1967), not from Somigliana's constants. Equator and pole are published there too. 2e-9:
// the published k differs from the derived one by 1e-13.
TEST(Gravity, AgreesWithWgs84AtSeaLevel) {
  const double rows[][2] = {{0, 9.7803253359},
                            {15, 9.7837849624},
                            {30, 9.7932472692},
                            {40, 9.8016968628},
                            {45, 9.8061977694},
                            {50, 9.8107021356},
                            {51.5, 9.8120335751},
                            {60, 9.8191769531},
                            {75, 9.8286966275},
                            {90, 9.8321849379}};
  for (const auto& [latitude_deg, expected] : rows) {
    EXPECT_NEAR(GravityMPerS2(RadFromDeg(latitude_deg), 0.0), expected, 2e-9) << latitude_deg;
    EXPECT_NEAR(GravityMPerS2(RadFromDeg(-latitude_deg), 0.0), expected, 2e-9) << -latitude_deg;
  }
}

TEST(Gravity, FallsWithHeightAsFreeAirSays) {
  EXPECT_NEAR(GravityMPerS2(0.0, 1000.0), 9.7772383665, 3e-9);
  EXPECT_NEAR(GravityMPerS2(RadFromDeg(45), 1000.0), 9.8031129436, 3e-9);
  EXPECT_NEAR(GravityMPerS2(RadFromDeg(90), 1000.0), 9.8291022740, 3e-9);
}

}  // namespace
}  // namespace loftline
