// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/option_values.h"

#include <numbers>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(OptionValues, PutsAQuantityInItsUnitWithItsUncertainty) {
  OptionValues values;
  std::optional<double> tilt_deg, tilt_std_deg;
  values.Put("--tilt", "-4 deg +- 0.5 deg", Dimension::kAngle, 180.0 / std::numbers::pi, &tilt_deg, &tilt_std_deg);
  ASSERT_TRUE(values.Finish());
  EXPECT_NEAR(*tilt_deg, -4.0, 1e-12);
  EXPECT_NEAR(*tilt_std_deg, 0.5, 1e-12);
}

TEST(OptionValues, ReadsPairsAndPlaces) {
  OptionValues values;
  const auto [from, to] = values.TwoPairs("--baseline", " 412.3,880.1 1530.2,876.4 ");
  EXPECT_EQ(from, Eigen::Vector2d(412.3, 880.1));
  EXPECT_EQ(to, Eigen::Vector2d(1530.2, 876.4));
  EXPECT_EQ(values.PlacePair("--point", "0, 1.5 m"), Eigen::Vector2d(0.0, 1.5));
  EXPECT_EQ(values.PlacePair("--point", "-50 cm, 1.5 m"), Eigen::Vector2d(-0.5, 1.5));
  EXPECT_TRUE(values.Finish());
}

TEST(OptionValues, KeepsTheFirstErrorAndNamesItsOption) {
  OptionValues values;
  values.Take("--mass", std::optional<std::string>("8.2 parsecs"), Dimension::kMass);
  values.Take("--distance", std::optional<std::string>("??"), Dimension::kLength);
  const Status status = values.Finish();
  ASSERT_FALSE(status);
  EXPECT_EQ(status.error().key, "--mass");
  EXPECT_EQ(status.error().kind, ErrorKind::kInvalidInput);
}

TEST(OptionValues, RefusesWhatIsNoNumber) {
  for (const char* text : {"nan,1", "1,inf", "1;2", "1,", "1,2,3", "1e999,0", ""}) {
    OptionValues values;
    values.Pair("--launch-point", text);
    EXPECT_FALSE(values.Finish()) << text;
  }
}

TEST(OptionValues, RefusesWhatIsNotAboveZero) {
  for (const char* text : {"-8 g", "0 g", "nan g", "8"}) {
    OptionValues values;
    EXPECT_FALSE(values.TakePositive("--mass", std::optional<std::string>(text), Dimension::kMass, 0.01)) << text;
    EXPECT_FALSE(values.Finish()) << text;
  }
  OptionValues values;
  const std::optional<Measured> mass_kg =
      values.TakePositive("--mass", std::optional<std::string>("8 g"), Dimension::kMass, 0.01);
  ASSERT_TRUE(mass_kg);
  EXPECT_NEAR(mass_kg->value, 0.008, 1e-15);
  EXPECT_NEAR(mass_kg->std, 0.00008, 1e-15);
}

}  // namespace
}  // namespace loftline
