// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/derived_quantities.h"
#include "fit/place.h"
#include "fit/prediction/make_prediction.h"
#include "fit/sphere_drag.h"

#include <cmath>
#include <set>
#include <string>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// A flight to the left with correlated errors of every kind.
FlightResult SomeResult() {
  FlightResult result;
  result.clip.file = "heron-07.mp4";
  result.flight.direction = Direction::kLeft;
  result.mass_kg = Measured{0.0082, 0.0001};
  result.diameter_m = Measured{0.0222, 0.0003};
  result.survey.air.temperature_c = 14.0;
  result.survey.air.pressure_hpa = 1011.0;
  result.survey.air.humidity_percent = 70.0;
  result.survey.air.latitude_deg = 53.0;
  result.survey.air.elevation_m = 4.0;
  result.survey.launch.height_above_landing_m = 0.5;
  result.motion.values << -9.5, 17.0, 0.04, std::log(0.026), 0.8, 0.0;
  MotionMatrix root = MotionMatrix::Zero();
  root << 0.06, 0, 0, 0, 0, 0,  //
      0.05, 0.07, 0, 0, 0, 0,   //
      0.01, 0, 0.04, 0, 0, 0,   //
      0.02, -0.01, 0, 0.05, 0, 0, -0.1, 0.05, 0, 0.1, 0.4, 0, 0, 0, 0, 0.02, 0, 0;
  result.motion.covariance = root * root.transpose();
  std::vector<Assumed> assumed;
  const Place place = PlaceOf(result.survey.air, &assumed);
  result.motion.conditions.gravity_m_per_s2 = place.gravity_m_per_s2;
  result.gravity_m_per_s2 = place.gravity_m_per_s2;
  result.air_density_kg_per_m3 = place.air_density_kg_per_m3.value;
  return result;
}

PredictionRequest From(const FlightResult& result) {
  PredictionRequest request;
  request.from = &result;
  return request;
}

Prediction Predicted(const PredictionRequest& request) {
  Expected<Prediction> prediction = MakePrediction(request);
  EXPECT_TRUE(prediction) << Describe(prediction.error());
  return prediction ? *prediction : Prediction{};
}

const Estimate& In(const Prediction& prediction, const char* key) {
  return *prediction.Quantity(key).estimate;
}

// Nothing changed: the fit's own milestones, with the uncertainty that the covariance gives them by the fit's own
// derivatives, and the landing level's besides.
void ExpectTheFlightItself(const FlightResult& result) {
  const Prediction prediction = Predicted(From(result));
  const FlightMilestones fitted = Milestones(result.motion.values, result.motion.conditions, 0.5);
  const auto same = [&](const char* key, const Sensitive& expected, double by_landing) {
    const double by_motion = std::sqrt(expected.by_motion.dot(result.motion.covariance * expected.by_motion));
    EXPECT_NEAR(In(prediction, key).value, expected.value, 2e-9 * expected.value) << key;
    EXPECT_NEAR(In(prediction, key).std, std::hypot(by_motion, 0.03 * by_landing), 2e-4 * by_motion + 1e-7) << key;
  };
  same("launch_speed_m_s", fitted.launch_speed_m_s, 0.0);
  same("launch_angle_deg", fitted.launch_angle_deg, 0.0);
  same("apogee_m", fitted.apogee_m, 0.0);
  same("time_to_apogee_s", fitted.time_to_apogee_s, 0.0);
  same("range_m", *fitted.range_m, fitted.range_by_landing);
  same("flight_time_s", *fitted.flight_time_s, fitted.flight_time_by_landing_s_per_m);
  same("impact_speed_m_s", *fitted.impact_speed_m_s, fitted.impact_speed_by_landing_per_s);
  EXPECT_NEAR(std::log(In(prediction, "drag_per_m").value), fitted.log_drag.value, 1e-9);
  EXPECT_EQ(prediction.Quantity("apogee_m").budget.front().source, "measured launch");
  EXPECT_GT(prediction.rows.back().at_m.x(), 0.0);  // along the flight, though it flew to the left
}

TEST(PredictionFromResult, IsTheFlightThatWasMeasured) {
  ExpectTheFlightItself(SomeResult());
}

TEST(PredictionFromResult, KeepsAChangeOfTheDrag) {
  FlightResult result = SomeResult();
  result.motion.values[kLogDragChange] = 0.6;
  result.motion.covariance(kLogDragChange, kLogDragChange) = 0.01;
  result.motion.conditions.drag_change_s = 0.9;
  ExpectTheFlightItself(result);
}

TEST(PredictionFromResult, KeepsABallsDrag) {
  FlightResult result = SomeResult();
  result.motion.conditions.reynolds_s_per_m = 1500.0;
  ExpectTheFlightItself(result);
}

// Correlations matter: without them the uncertainty of the range would be another.
TEST(PredictionFromResult, UsesTheCorrelations) {
  FlightResult result = SomeResult();
  const double with = In(Predicted(From(result)), "range_m").std;
  result.motion.covariance = MotionMatrix(result.motion.covariance.diagonal().asDiagonal());
  const double without = In(Predicted(From(result)), "range_m").std;
  EXPECT_GT(std::abs(with - without), 0.03 * with);
}

TEST(PredictionFromResult, AnotherMassChangesTheDrag) {
  const FlightResult result = SomeResult();
  PredictionRequest request = From(result);
  request.mass_kg = Measured{2 * 0.0082, 0.0};
  const Prediction prediction = Predicted(request);
  EXPECT_NEAR(In(prediction, "drag_per_m").value, 0.013, 1e-9);
  EXPECT_NEAR(In(prediction, "drag_coefficient").value, In(Predicted(From(result)), "drag_coefficient").value, 1e-9);
  bool by_measured_mass = false;
  for (const BudgetLine& line : prediction.Quantity("drag_per_m").budget) {
    by_measured_mass = by_measured_mass || line.source == "measured mass";
  }
  EXPECT_TRUE(by_measured_mass);
}

TEST(PredictionFromResult, ThinnerAirBrakesLess) {
  const FlightResult result = SomeResult();
  PredictionRequest request = From(result);
  request.elevation_m = Measured{2500.0, 10.0};
  const Prediction high = Predicted(request), low = Predicted(From(result));
  const double ratio = high.air_density_kg_per_m3.value / low.air_density_kg_per_m3.value;
  EXPECT_LT(ratio, 0.8);
  EXPECT_NEAR(In(high, "drag_per_m").value, ratio * In(low, "drag_per_m").value, 1e-9);
  EXPECT_LT(high.gravity_m_per_s2, low.gravity_m_per_s2);
}

// No two inputs have one key, whatever is changed.
TEST(PredictionFromResult, ListsEveryInputOnce) {
  const FlightResult result = SomeResult();
  PredictionRequest request = From(result);
  request.mass_kg = Measured{0.009, 0.0001};
  request.diameter_m = Measured{0.02, 0.0001};
  request.temperature_c = Measured{25.0, 1.0};
  request.humidity_percent = Measured{30.0, 5.0};
  request.elevation_m = Measured{900.0, 10.0};
  request.latitude_deg = Measured{30.0, 0.5};
  const Prediction prediction = Predicted(request);
  std::set<std::string> keys;
  for (const PredictionInput& input : prediction.inputs) {
    EXPECT_TRUE(keys.insert(input.key).second) << input.key;
    if (input.key == "pressure_hpa") {
      EXPECT_NEAR(input.value.value, 909.7, 0.3);  // ISO 2533 at 900 m
    }
    if (input.key == "measured_pressure_hpa") {
      EXPECT_EQ(input.value.value, 1011.0);
    }
  }
  for (const char* key : {"mass_kg", "measured_mass_kg", "temperature_c", "measured_temperature_c", "pressure_hpa"}) {
    EXPECT_EQ(keys.count(key), 1u) << key;
  }
}

TEST(PredictionFromResult, WhatIsGivenAnewIsIndependent) {
  const FlightResult result = SomeResult();
  PredictionRequest request = From(result);
  request.speed_m_s = Measured{22.0, 0.5};
  request.wind_along_m_s = Measured{1.0, 0.0};
  const Prediction prediction = Predicted(request);
  EXPECT_EQ(In(prediction, "launch_speed_m_s").value, 22.0);
  EXPECT_NEAR(In(prediction, "launch_speed_m_s").std, 0.5, 1e-9);
  ASSERT_EQ(prediction.Quantity("launch_speed_m_s").budget.size(), 1u);
  EXPECT_EQ(prediction.Quantity("launch_speed_m_s").budget[0].source, "launch speed");
  const Prediction as_measured = Predicted(From(result));
  EXPECT_NEAR(In(prediction, "launch_angle_deg").std, In(as_measured, "launch_angle_deg").std, 1e-9);
}

TEST(PredictionFromResult, AnotherDragNeedsTheRocketThatWasMeasured) {
  FlightResult result = SomeResult();
  PredictionRequest request = From(result);
  request.drag_coefficient = Measured{0.5, 0.0};
  const Prediction prediction = Predicted(request);
  EXPECT_NEAR(In(prediction, "drag_coefficient").value, 0.5, 1e-12);
  result.mass_kg = std::nullopt;
  EXPECT_EQ(MakePrediction(request).error().key, "--mass");
}

// Without a mass of its own, the flight keeps its drag: the mass given is the one it had.
TEST(PredictionFromResult, AMassForAResultWithoutOneIsItsOwn) {
  FlightResult result = SomeResult();
  result.mass_kg = std::nullopt;
  PredictionRequest request = From(result);
  request.mass_kg = Measured{0.01, 0.0};
  const Prediction prediction = Predicted(request);
  EXPECT_NEAR(In(prediction, "drag_per_m").value, 0.026, 1e-12);
  EXPECT_NEAR(In(prediction, "launch_energy_j").value, 0.5 * 0.01 * (9.5 * 9.5 + 17.0 * 17.0), 1e-9);
}

TEST(PredictionFromResult, TellsOfDoubts) {
  FlightResult result = SomeResult();
  result.findings = {{"gravity-only", Severity::kCaution, "m", "a"}, {"repeated-frames", Severity::kNote, "m", "a"}};
  const Prediction prediction = Predicted(From(result));
  ASSERT_EQ(prediction.findings.size(), 1u);
  EXPECT_EQ(prediction.findings[0].code, "starts-from-caution");
  EXPECT_NE(prediction.findings[0].message.find("gravity-only."), std::string::npos);
  result.verdict = Verdict::kRefused;
  const Expected<Prediction> refused = MakePrediction(From(result));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "nothing-measured");
  EXPECT_EQ(refused.error().kind, ErrorKind::kRefused);
}

}  // namespace
}  // namespace loftline
