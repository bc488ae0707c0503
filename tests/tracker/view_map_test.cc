// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/view_map.h"

#include <cmath>
#include <vector>

#include <Eigen/Dense>
#include <gtest/gtest.h>
#include <opencv2/core.hpp>

namespace loftline {
namespace {

Eigen::Matrix3d Turned() {
  Eigen::Matrix3d turned;
  turned << 1.1, -0.05, 420.0, 0.03, 1.04, -160.0, 9e-5, -4e-5, 1.0;
  return turned;
}

// Against cv::perspectiveTransform.
TEST(ViewMap, CarriesPlacesAsAGeneralLibraryDoes) {
  const ViewMap map(Turned());
  const std::vector<cv::Point2d> in_view{{0.0, 0.0}, {1919.0, 0.0}, {400.5, 812.25}};
  std::vector<cv::Point2d> in_first;
  cv::perspectiveTransform(in_view, in_first, MatxOf(Turned()));
  for (std::size_t i = 0; i < in_view.size(); ++i) {
    const Eigen::Vector2d first_px = map.InFirst(Eigen::Vector2d(in_view[i].x, in_view[i].y));
    EXPECT_NEAR(first_px.x(), in_first[i].x, 1e-9);
    EXPECT_NEAR(first_px.y(), in_first[i].y, 1e-9);
    EXPECT_LT((map.InView(first_px) - Eigen::Vector2d(in_view[i].x, in_view[i].y)).norm(), 1e-9);
  }
}

TEST(ViewMap, SaysNothingOfWhatLiesBehindTheCamera) {
  const ViewMap map(Turned());
  // Beyond the line where the third coordinate vanishes.
  EXPECT_FALSE(map.InFirst(Eigen::Vector2d(-20000.0, 0.0)).allFinite());
}

// A short rod at the body's place, carried end by end.
TEST(ViewMap, CarriesBodiesLikeTheirEnds) {
  const ViewMap map(Turned());
  BodyMeasure body;
  body.at_px = {700.0, 300.0};
  body.axis_rad = 0.6;
  body.length_px = 0.02;
  body.width_px = 0.01;
  body.sum = 100.0;
  body.cov_px2 << 0.04, 0.01, 0.01, 0.09;
  const Eigen::Vector2d half = 0.5 * body.length_px * Eigen::Vector2d(std::cos(0.6), std::sin(0.6));
  const Eigen::Vector2d rod = map.InFirst((body.at_px + half).eval()) - map.InFirst((body.at_px - half).eval());
  const BodyMeasure carried = map.InFirst(body);
  EXPECT_NEAR(carried.length_px, rod.norm(), 1e-6);
  EXPECT_NEAR(carried.axis_rad, std::atan2(rod.y(), rod.x()), 1e-4);
  const double magnified = map.MagnificationAt(body.at_px);
  EXPECT_NEAR(carried.sum, body.sum * magnified * magnified, 1e-9);
  EXPECT_NEAR(carried.cov_px2.determinant(), body.cov_px2.determinant() * std::pow(magnified, 4), 1e-12);
  const BodyMeasure back = map.InView(carried);
  EXPECT_LT((back.at_px - body.at_px).norm(), 1e-9);
  EXPECT_LT((back.cov_px2 - body.cov_px2).norm(), 1e-9);
  EXPECT_NEAR(back.width_px, body.width_px, 1e-9);
}

TEST(ViewMap, TellsAShiftFromATurn) {
  const ViewMap older(Turned());
  Eigen::Matrix3d step = Eigen::Matrix3d::Identity();
  step.topRightCorner<2, 1>() = Eigen::Vector2d(48.0, -16.0);
  const auto shift = ViewMap(Turned() * step).ShiftFrom(older);
  ASSERT_TRUE(shift);
  EXPECT_EQ(*shift, cv::Point(48, -16));
  step(0, 1) = 0.001;
  EXPECT_FALSE(ViewMap(Turned() * step).ShiftFrom(older));
  EXPECT_EQ(ViewMap().ShiftFrom(ViewMap()), std::optional(cv::Point(0, 0)));
}

}  // namespace
}  // namespace loftline
