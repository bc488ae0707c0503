// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/result_file.h"

#include "fit/fit_flight.h"
#include "tests/support/synthetic_flight.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(ResultFile, HoldsEveryQuantityWithItsInterval) {
  const SyntheticFlight flight = Synthesize(SyntheticScene{});
  FitOptions options;
  options.mass_kg = Measured{8e-3, 1e-4};
  options.diameter_m = Measured{0.022, 2e-4};
  const auto result = FitFlight(flight.track, flight.survey, options);
  ASSERT_TRUE(result);
  const auto json = ResultAsJson(*result);
  EXPECT_EQ(json["format"], "loftline.result");
  for (const char* key : {"launch_speed_m_s",
                          "launch_angle_deg",
                          "drag_per_m",
                          "drag_coefficient",
                          "apogee_m",
                          "time_to_apogee_s",
                          "range_m",
                          "flight_time_s",
                          "impact_speed_m_s",
                          "terminal_speed_m_s",
                          "launch_energy_j"}) {
    const auto& quantity = json["flight"][key];
    ASSERT_TRUE(quantity.is_object()) << key;
    EXPECT_LT(quantity["low_95"].get<double>(), quantity["value"].get<double>()) << key;
    EXPECT_GT(quantity["high_95"].get<double>(), quantity["value"].get<double>()) << key;
    EXPECT_TRUE(json["budget"].contains(key)) << key;
  }
  EXPECT_TRUE(json["clip"].is_null());
}

TEST(ResultFile, RefusedHasNoNumbers) {
  FlightResult refused;
  refused.verdict = Verdict::kRefused;
  refused.findings.push_back({"no-rocket", Severity::kRefusal, "No rocket.", "Film one."});
  const auto json = ResultAsJson(refused);
  EXPECT_EQ(json["verdict"], "refused");
  EXPECT_TRUE(json["flight"].is_null());
  EXPECT_EQ(json["findings"][0]["code"], "no-rocket");
}

}  // namespace
}  // namespace loftline
