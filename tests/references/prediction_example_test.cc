// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Predictions, from their own inputs (mass, diameter, coefficient, air), beside published and exact flights.
#include "core/csv_file.h"
#include "fit/gravity.h"
#include "fit/prediction/make_prediction.h"

#include <cmath>
#include <functional>
#include <numbers>

#include <gtest/gtest.h>

namespace loftline {
namespace {

double Bisect(double low, double high, const std::function<double(double)>& rising) {
  for (int i = 0; i < 100; ++i) {
    const double middle = 0.5 * (low + high);
    (rising(middle) < 0.0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

PredictionRequest Launch(double speed, double angle_deg, double g) {
  PredictionRequest request;
  request.speed_m_s = Measured{speed, 0.0};
  request.angle_deg = Measured{angle_deg, 0.0};
  request.wind_along_m_s = Measured{0.0, 0.0};
  request.height_above_landing_m = Measured{0.0, 0.0};
  request.temperature_c = Measured{15.0, 0.0};
  request.humidity_percent = Measured{0.0, 0.0};
  request.elevation_m = Measured{0.0, 0.0};
  request.latitude_deg = Measured{
      Bisect(0.0, 90.0, [g](double deg) { return GravityMPerS2(deg * std::numbers::pi / 180.0, 0.0) - g; }), 0.0};
  return request;
}

Prediction Predicted(const PredictionRequest& request) {
  Expected<Prediction> prediction = MakePrediction(request);
  EXPECT_TRUE(prediction) << Describe(prediction.error());
  return prediction ? *prediction : Prediction{};
}

CsvTable Table(const char* name) {
  const auto table = ReadCsv(std::string(LOFTLINE_SOURCE_DIR "/tests/references/data/") + name, CsvRules{{}, {}, true});
  EXPECT_TRUE(table) << Describe(table.error());
  return *table;
}

void ExpectNear(const Prediction& prediction, const char* key, double expected, double relative) {
  EXPECT_NEAR(prediction.Quantity(key).estimate->value, expected, relative * std::abs(expected)) << key;
}

// Hill, Learning Scientific Programming with Python, 2nd ed., chapter 8, "A projectile with air resistance": a ball of
// 0.2 kg and 5 cm radius, coefficient 0.47, air of 1.28 kg/m3, g 9.81 m/s2, 50 m/s at 65 degrees. Printed there:
// highest point 49.42 m after 2.79 s, 64.12 m away after 6.34 s, by a program that is right to 0.05 %.
TEST(PublishedFlight, IsPredictedFromItsOwnInputs) {
  PredictionRequest request = Launch(50.0, 65.0, 9.81);
  request.mass_kg = Measured{0.2, 0.0};
  request.diameter_m = Measured{0.1, 0.0};
  request.drag_coefficient = Measured{0.47, 0.0};
  const auto density_at = [&](double pressure_hpa) {
    request.pressure_hpa = Measured{pressure_hpa, 0.0};
    return Predicted(request).air_density_kg_per_m3.value;
  };
  request.pressure_hpa = Measured{Bisect(1000.0, 1100.0, [&](double hpa) { return density_at(hpa) - 1.28; }), 0.0};
  const Prediction prediction = Predicted(request);
  ASSERT_NEAR(prediction.air_density_kg_per_m3.value, 1.28, 1e-12);
  ASSERT_NEAR(prediction.gravity_m_per_s2, 9.81, 1e-12);
  const auto printed = [&](const char* key, double value, double half_digit) {
    EXPECT_NEAR(prediction.Quantity(key).estimate->value, value, half_digit + 0.0006 * value) << key;
  };
  printed("time_to_apogee_s", 2.79, 0.005);
  printed("apogee_m", 49.42, 0.005);
  printed("flight_time_s", 6.34, 0.005);
  printed("range_m", 64.12, 0.005);
  // Exact for the same inputs (projectile_quadratic_drag.csv says how they were found).
  ExpectNear(prediction, "time_to_apogee_s", 2.79398530383, 1e-9);
  ExpectNear(prediction, "apogee_m", 49.4062245035, 1e-9);
  ExpectNear(prediction, "flight_time_s", 6.33595723191, 1e-9);
  ExpectNear(prediction, "range_m", 64.0846881617, 1e-9);
  ExpectNear(prediction, "impact_angle_deg", 78.2198311037, 1e-9);
}

// Exact to all digits shown: quadrature of the hodograph and an 8th-order integration agree (the file says how).
TEST(ExactFlights, ArePredictedTo1e9) {
  const CsvTable table = Table("projectile_quadratic_drag.csv");
  ASSERT_GE(table.rows.size(), 15u);
  for (const CsvRow& row : table.rows) {
    PredictionRequest request =
        Launch(*table.Number(row, "v0_m_s"), *table.Number(row, "angle_deg"), *table.Number(row, "g_m_s2"));
    request.drag_per_m = Measured{*table.Number(row, "b_1_m"), 0.0};
    const Prediction prediction = Predicted(request);
    SCOPED_TRACE(row.line);
    ExpectNear(prediction, "apogee_m", *table.Number(row, "h_apex_m"), 1e-9);
    ExpectNear(prediction, "time_to_apogee_s", *table.Number(row, "t_apex_s"), 1e-9);
    ExpectNear(prediction, "range_m", *table.Number(row, "range_m"), 1e-9);
    ExpectNear(prediction, "flight_time_s", *table.Number(row, "t_land_s"), 1e-9);
    ExpectNear(prediction, "impact_speed_m_s", *table.Number(row, "v_land_m_s"), 1e-9);
    ExpectNear(prediction, "impact_angle_deg", -*table.Number(row, "angle_land_deg"), 1e-9);
  }
}

// Closed forms of Timmerman & van der Weele, Am. J. Phys. 67 (1999) 538, evaluated with 20 digits (the file says how);
// some of them are printed to ten digits only.
TEST(VerticalFlights, ArePredictedTo1e9) {
  const CsvTable table = Table("vertical_quadratic_drag.csv");
  ASSERT_GE(table.rows.size(), 5u);
  for (const CsvRow& row : table.rows) {
    PredictionRequest request = Launch(*table.Number(row, "v0_m_s"), 90.0, *table.Number(row, "g_m_s2"));
    request.drag_per_m = Measured{*table.Number(row, "b_1_m"), 0.0};
    const Prediction prediction = Predicted(request);
    SCOPED_TRACE(row.line);
    ExpectNear(prediction, "terminal_speed_m_s", *table.Number(row, "v_terminal_m_s"), 1e-9);
    ExpectNear(prediction, "apogee_m", *table.Number(row, "h_apex_m"), 1e-9);
    ExpectNear(prediction, "time_to_apogee_s", *table.Number(row, "t_up_s"), 1e-9);
    ExpectNear(prediction, "impact_speed_m_s", *table.Number(row, "v_impact_m_s"), 1e-9);
    ExpectNear(prediction, "flight_time_s", *table.Number(row, "t_total_s"), 1e-9);
    EXPECT_NEAR(prediction.Quantity("impact_angle_deg").estimate->value, 90.0, 1e-6);
  }
}

}  // namespace
}  // namespace loftline
