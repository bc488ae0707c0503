// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/prediction_file.h"

#include "core/csv_file.h"
#include "fit/prediction/make_prediction.h"
#include "fit/simulator/read_simulated_flight.h"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;

Prediction Heron() {
  PredictionRequest request;
  request.speed_m_s = Measured{25.0, 0.3};
  request.angle_deg = Measured{60.0, 1.0};
  request.mass_kg = Measured{0.0082, 0.0001};
  request.diameter_m = Measured{0.0222, 0.0002};
  request.drag_coefficient = Measured{0.6, 0.05};
  request.height_above_landing_m = Measured{0.4, 0.03};
  Expected<Prediction> prediction = MakePrediction(request);
  EXPECT_TRUE(prediction) << Describe(prediction.error());
  return prediction ? *prediction : Prediction{};
}

TEST(PredictionCsv, HoldsTheRowsToNineDigits) {
  const Prediction prediction = Heron();
  const CsvRules rules{
      {"t_s", "x_m", "y_m", "vx_m_s", "vy_m_s", "x_std_m", "y_std_m", "vx_std_m_s", "vy_std_m_s"}, {}, false};
  const Expected<CsvTable> table = ParseCsv(PredictionAsCsv(prediction), "p.csv", rules);
  ASSERT_TRUE(table) << Describe(table.error());
  ASSERT_EQ(table->rows.size(), prediction.rows.size());
  for (std::size_t i = 0; i < table->rows.size(); ++i) {
    const CsvRow& row = table->rows[i];
    const PredictedRow& expected = prediction.rows[i];
    const auto near = [&](const char* column, double value, double relative) {
      EXPECT_NEAR(*table->Number(row, column), value, relative * std::abs(value)) << column << " " << i;
    };
    near("t_s", expected.time_s, 1e-11);
    near("x_m", expected.at_m.x(), 1e-9);
    near("y_m", expected.at_m.y(), 1e-9);
    near("vx_m_s", expected.velocity_m_per_s.x(), 1e-9);
    near("vy_m_s", expected.velocity_m_per_s.y(), 1e-9);
    near("x_std_m", expected.at_std_m.x(), 1e-3);
    near("vy_std_m_s", expected.velocity_std_m_per_s.y(), 1e-3);
  }
  EXPECT_EQ(*table->Number(table->rows.back(), "y_m"), -0.4);
}

TEST(PredictionCsv, WritesNoMinusBeforeZero) {
  Prediction prediction = Heron();
  prediction.rows.back().at_m.y() = -0.0;
  prediction.rows.front().velocity_m_per_s.x() = -0.0;
  const std::string csv = PredictionAsCsv(prediction);
  EXPECT_EQ(csv.find(",-0,"), std::string::npos) << csv.substr(csv.size() - 200);
}

TEST(PredictionCsv, SaysWhatWasTaken) {
  const std::string csv = PredictionAsCsv(Heron());
  EXPECT_THAT(csv, HasSubstr("# launch speed 25.00 ± 0.30 m/s\n"));
  EXPECT_THAT(csv, HasSubstr("# launch point above the landing level 0.400 ± 0.030 m\n"));
  EXPECT_THAT(csv, HasSubstr("# wind 0.00 ± 0.70 m/s (assumed)\n"));
  EXPECT_THAT(csv, HasSubstr("# It does not tell where it is safe to stand.\n"));
}

// What it writes, `validate` reads: as a simulator's table, uncertainties included.
TEST(PredictionCsv, IsASimulatorsTable) {
  const Prediction prediction = Heron();
  const Expected<SimulatedFlight> read = ParseSimulatedFlight(PredictionAsCsv(prediction), "p.csv");
  ASSERT_TRUE(read) << Describe(read.error());
  ASSERT_EQ(read->time_s.size(), prediction.rows.size());
  ASSERT_EQ(read->x_std_m.size(), prediction.rows.size());
  ASSERT_EQ(read->vy_std_m_per_s.size(), prediction.rows.size());
  const std::size_t middle = prediction.rows.size() / 2;
  EXPECT_NEAR(read->x_m[middle], prediction.rows[middle].at_m.x(), 1e-7);
  EXPECT_NEAR(read->y_m[middle], prediction.rows[middle].at_m.y(), 1e-7);
  EXPECT_NEAR(read->vy_m_per_s[middle], prediction.rows[middle].velocity_m_per_s.y(), 1e-7);
  EXPECT_NEAR(read->y_std_m[middle], prediction.rows[middle].at_std_m.y(), 1e-4);
}

// A file's name cannot smuggle a row into the table.
TEST(PredictionCsv, KeepsNamesInTheirComments) {
  Prediction prediction = Heron();
  prediction.from_file = "evil\n1,2,3,4,5,6,7,8,9";
  const Expected<CsvTable> table = ParseCsv(PredictionAsCsv(prediction), "p.csv", CsvRules{{"t_s"}, {}, true});
  ASSERT_TRUE(table) << Describe(table.error());
  EXPECT_EQ(table->rows.size(), prediction.rows.size());
}

TEST(PredictionJson, HoldsQuantitiesInputsAndPath) {
  const Prediction prediction = Heron();
  const nlohmann::ordered_json json = PredictionAsJson(prediction);
  EXPECT_EQ(json["format"], "loftline.prediction");
  EXPECT_EQ(json["flight"]["apogee_m"]["value"], prediction.Quantity("apogee_m").estimate->value);
  EXPECT_EQ(json["inputs"]["mass_kg"]["source"], "given");
  EXPECT_EQ(json["inputs"]["wind_along_m_s"]["source"], "assumed");
  EXPECT_EQ(json["path"]["x_m"].size(), prediction.rows.size());
  EXPECT_EQ(json["path"]["y_m"].back(), -0.4);
  EXPECT_EQ(json["drag"]["by"], "coefficient");
  EXPECT_TRUE(json["from"].is_null());
  double shares = 0.0;
  for (const auto& line : json["budget"]["range_m"]) shares += line["share"].get<double>();
  EXPECT_NEAR(shares, 1.0, 1e-12);
}

TEST(InputText, WritesTwoDigitsOfTheUncertainty) {
  const auto text = [](const char* label, const char* unit, double value, double std) {
    return InputText({"key", label, unit, {value, std}, PredictionInput::Given::kGiven});
  };
  EXPECT_EQ(text("wind", "m/s", 1.5, 0.5), "wind 1.50 ± 0.50 m/s");
  EXPECT_EQ(text("elevation", "m", 100.0, 150.0), "elevation 100 ± 150 m");
  EXPECT_EQ(text("mass", "kg", 0.0082, 0.000082), "mass 8.200 ± 0.082 g");
  EXPECT_EQ(text("launch angle", "°", 60.0, 0.0), "launch angle 60°");
  EXPECT_EQ(text("drag coefficient", "", 0.6, 0.0), "drag coefficient 0.6");
}

}  // namespace
}  // namespace loftline
