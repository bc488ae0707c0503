// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/wrap_text.h"
#include "fit/prediction/make_prediction.h"
#include "report/prediction_plot.h"
#include "report/prediction_text.h"
#include "tests/report/run_tool.h"

#include <cmath>
#include <sstream>
#include <string>
#include <variant>
#include <vector>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <opencv2/core.hpp>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

PredictionRequest Heron() {
  PredictionRequest request;
  request.speed_m_s = Measured{25.0, 0.3};
  request.angle_deg = Measured{60.0, 1.0};
  request.mass_kg = Measured{0.0082, 0.0001};
  request.diameter_m = Measured{0.0222, 0.0002};
  request.drag_coefficient = Measured{0.6, 0.05};
  return request;
}

Prediction Predicted(const PredictionRequest& request) {
  Expected<Prediction> prediction = MakePrediction(request);
  EXPECT_TRUE(prediction) << Describe(prediction.error());
  return prediction ? *prediction : Prediction{};
}

// Requests of every kind.
std::vector<PredictionRequest> AllKinds() {
  std::vector<PredictionRequest> all(7, Heron());
  all[1].drag_coefficient = std::nullopt;
  all[1].ball = true;
  all[2].drag_coefficient = std::nullopt;
  all[2].drag_per_m = Measured{0.0, 0.0};
  all[2].mass_kg = all[2].diameter_m = std::nullopt;
  all[3].angle_deg = Measured{-15.0, 0.5};
  all[3].height_above_landing_m = Measured{6.0, 0.1};
  all[4].angle_deg = Measured{90.0, 0.0};
  all[5].drag_coefficient = std::nullopt;
  all[5].drag_table = DragTableFile{
      "some/very long name of a drag table \x1B[2J.csv", DragTable(DragAgainst::kTime, {0.0, 1.0}, {0.6, 0.4}), {}};
  all[6].angle_deg = Measured{88.0, 1.0};  // and blown back
  all[6].wind_along_m_s = Measured{-4.0, 0.5};
  return all;
}

TEST(PredictionText, SaysWhatAPersonNeeds) {
  const std::string text = PredictionText(Predicted(Heron()));
  for (const char* part : {"Predicted flight: 25 m/s at 60°, drag coefficient 0.6",
                           "Apogee",
                           "Terminal speed",
                           "Launch energy",
                           "launch angle 60.0 ± 1.0°",
                           "mass 8.20 ± 0.10 g",
                           "diameter 22.20 ± 0.20 mm",
                           "depends most on",
                           "Above, ± is half the 95 % interval; below, it is one standard uncertainty.",
                           "Assumed, because nothing was said of it",
                           "launch point above the landing level 0.00 ± 0.20 m",
                           "wind 0.00 ± 0.70 m/s",
                           "eye protection",
                           "does not tell where it is safe to stand"}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
}

TEST(PredictionText, WritesTheMinusOfTheOtherOutputs) {
  PredictionRequest request = Heron();
  request.wind_along_m_s = Measured{-1.5, 0.5};
  request.temperature_c = Measured{-3.0, 0.0};
  const std::string text = PredictionText(Predicted(request));
  EXPECT_THAT(text, HasSubstr("wind \u22121.50 ± 0.50"));
  EXPECT_THAT(text, HasSubstr("air temperature \u22123 °C"));
}

TEST(PredictionText, SaysOfADragTableWhatItIs) {
  PredictionRequest request = Heron();
  request.drag_coefficient = std::nullopt;
  request.drag_table = DragTableFile{"cd.csv", DragTable(DragAgainst::kTime, {0.0, 1.0}, {0.6, 0.4}), {}};
  EXPECT_THAT(PredictionText(Predicted(request)), HasSubstr("drag table as it stands."));
  request.drag_table->stds = {0.05, 0.05};
  EXPECT_THAT(PredictionText(Predicted(request)),
              HasSubstr("drag table as it stands, ± 1 of its own\n  uncertainties."));
  request.drag_table->stds.clear();
  request.drag_relative_std = 0.05;
  EXPECT_THAT(PredictionText(Predicted(request)), HasSubstr("drag table 1.000 ± 0.050 times the table."));
}

TEST(PredictionText, StaysWithinTheTerminal) {
  for (const PredictionRequest& request : AllKinds()) {
    const Prediction prediction = Predicted(request);
    std::istringstream lines(PredictionText(prediction) + PredictionBudgetText(prediction));
    for (std::string line; std::getline(lines, line);) {
      EXPECT_LE(Width(line), kTerminalColumns) << line;
      EXPECT_EQ(line.find('\x1B'), std::string::npos);
    }
  }
}

TEST(PredictionText, LeavesOutWhatThereIsNot) {
  const std::string text = PredictionText(Predicted(AllKinds()[2]));
  EXPECT_THAT(text, Not(HasSubstr("Terminal speed")));
  EXPECT_THAT(text, Not(HasSubstr("Launch energy")));
  EXPECT_THAT(text, Not(HasSubstr("nan")));
  EXPECT_THAT(text, Not(HasSubstr("inf")));
}

TEST(PredictionText, SharesOfTheBudgetAreThoseOfThePrediction) {
  const Prediction prediction = Predicted(Heron());
  const std::string text = PredictionBudgetText(prediction);
  const BudgetLine& largest = prediction.Quantity("range_m").budget.front();
  EXPECT_THAT(text, HasSubstr("  Range, "));
  EXPECT_THAT(text, HasSubstr(" m (95 %):\n"));
  EXPECT_THAT(text, HasSubstr(fmt::format("{:3.0f} %  {}", 100 * largest.share, largest.source)));
}

// The path's own places, found again in the drawing: both axes have one scale.
TEST(PredictionPlot, DrawsThePathToScale) {
  const Prediction prediction = Predicted(Heron());
  const PaperDrawing drawing = DrawPrediction(prediction);
  const PaperShape* path = nullptr;
  for (const auto& item : drawing.items) {
    const auto* shape = std::get_if<PaperShape>(&item);
    if (shape != nullptr && !shape->closed && shape->points.size() > 50) path = shape;
  }
  ASSERT_NE(path, nullptr);
  const Eigen::Vector2d start = path->points.front(), end = path->points.back();
  double top_y = start.y();
  for (const Eigen::Vector2d& point : path->points) top_y = std::min(top_y, point.y());
  const double units_per_m = (end.x() - start.x()) / prediction.rows.back().at_m.x();
  EXPECT_NEAR((start.y() - top_y) / units_per_m, prediction.Quantity("apogee_m").estimate->value, 0.01);
  EXPECT_NEAR(end.y(), start.y(), 1e-6);  // it lands on the launch's level
}

TEST(PredictionPlot, IsAWholeSvgFile) {
  for (const PredictionRequest& request : AllKinds()) {
    const std::string svg = PaperAsSvg(DrawPrediction(Predicted(request)));
    EXPECT_TRUE(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\"")) << svg.substr(0, 100);
    EXPECT_THAT(svg, HasSubstr("landing "));
    EXPECT_THAT(svg, HasSubstr("does not tell where it is safe to stand"));
    EXPECT_THAT(svg, HasSubstr("eye protection"));
    EXPECT_THAT(svg, Not(HasSubstr("nan")));
    EXPECT_EQ(svg.find('\x1B'), std::string::npos);
    EXPECT_LT(svg.size(), 200000u);
  }
}

TEST(PredictionPlot, IsAPicture) {
  const PaperDrawing drawing = DrawPrediction(Predicted(Heron()));
  const Expected<std::string> png = PaperAsPng(drawing, 2.0);
  ASSERT_TRUE(png) << Describe(png.error());
  const cv::Mat picture = DecodeImage(*png, ImageKind::kPng);
  ASSERT_EQ(picture.cols, 1920);
  ASSERT_EQ(picture.rows, static_cast<int>(std::ceil(2.0 * drawing.height)));
  EXPECT_EQ(picture.at<cv::Vec3b>(2, 2), cv::Vec3b(255, 255, 255));
  cv::Mat ink;
  cv::inRange(picture, cv::Scalar(0, 0, 0), cv::Scalar(250, 250, 250), ink);
  const double share = cv::countNonZero(ink) / static_cast<double>(ink.total());
  EXPECT_GT(share, 0.05);
  EXPECT_LT(share, 0.6);
}

}  // namespace
}  // namespace loftline
