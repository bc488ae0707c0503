// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/draw_turned.h"

#include <cmath>

#include <Eigen/Dense>
#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

cv::Mat Textured(int width, int height) {
  cv::Mat picture(height, width, CV_8UC1);
  cv::RNG random(3);
  random.fill(picture, cv::RNG::UNIFORM, 0, 256);
  cv::GaussianBlur(picture, picture, cv::Size(0, 0), 1.5);
  cv::normalize(picture, picture, 0, 255, cv::NORM_MINMAX);
  return picture;
}

// Of a camera that turns about x, y and z.
Eigen::Matrix3d Turned(const Eigen::Vector3d& turn_rad, int width, int height) {
  Eigen::Matrix3d px_from_ray = Eigen::Vector3d(0.75 * width, 0.75 * width, 1.0).asDiagonal();
  px_from_ray.topRightCorner<2, 1>() = Eigen::Vector2d(0.5 * (width - 1), 0.5 * (height - 1));
  const Eigen::Matrix3d rotation = Eigen::AngleAxisd(turn_rad.norm(), turn_rad.normalized()).toRotationMatrix();
  return px_from_ray * rotation * px_from_ray.inverse();
}

struct Turn {
  const char* name;
  Eigen::Vector3d turn_rad;
};

class DrawTurnedAsOpenCv : public testing::TestWithParam<Turn> {};

// Against cv::warpPerspective, whose own steps are 1/32 pixel.
TEST_P(DrawTurnedAsOpenCv, DrawsTheSame) {
  for (const cv::Size size : {cv::Size(640, 360), cv::Size(333, 251)}) {
    const cv::Mat from = Textured(size.width, size.height);
    const Eigen::Matrix3d homography = Turned(GetParam().turn_rad, size.width, size.height);
    cv::Matx33d matrix;
    for (int i = 0; i < 9; ++i) matrix(i / 3, i % 3) = homography(i / 3, i % 3);
    cv::Mat expected(size, CV_8UC1, cv::Scalar(7)), drawn = expected.clone();
    cv::warpPerspective(from, expected, matrix, size, cv::INTER_LINEAR, cv::BORDER_TRANSPARENT);
    DrawTurned(from, homography, &drawn);
    // A pixel at the rim may be drawn by one and left by the other.
    cv::Mat inside, difference;
    cv::warpPerspective(cv::Mat(size, CV_8UC1, cv::Scalar(255)), inside, matrix, size);
    cv::erode(inside, inside, cv::Mat::ones(5, 5, CV_8U));
    cv::absdiff(expected, drawn, difference);
    difference.setTo(0, inside < 255);
    double worst = 0.0;
    cv::minMaxLoc(difference, nullptr, &worst);
    const double rms = std::sqrt(cv::norm(difference, cv::NORM_L2SQR) / cv::countNonZero(inside == 255));
    EXPECT_LT(worst, 7.0);
    EXPECT_LT(rms, 1.0);
    // What the source does not show stays.
    cv::Mat outside;
    cv::warpPerspective(cv::Mat(size, CV_8UC1, cv::Scalar(255)), outside, matrix, size);
    cv::dilate(outside, outside, cv::Mat::ones(5, 5, CV_8U));
    for (int y = 0; y < size.height; ++y) {
      for (int x = 0; x < size.width; ++x) {
        if (outside.at<std::uint8_t>(y, x) != 0) continue;
        ASSERT_EQ(drawn.at<std::uint8_t>(y, x), 7) << x << " " << y;
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Turns,
                         DrawTurnedAsOpenCv,
                         testing::Values(Turn{"Shaken", {0.004, -0.006, 0.005}},
                                         Turn{"Rolled", {0.001, 0.001, 0.03}},
                                         Turn{"Panned", {0.05, 0.2, 0.01}},
                                         Turn{"FarAside", {-0.3, 0.7, 0.1}}),
                         [](const auto& turn) { return std::string(turn.param.name); });

TEST(DrawTurned, LeavesAPictureThatDoesNotTurnAsItIs) {
  const cv::Mat from = Textured(320, 200);
  cv::Mat drawn = cv::Mat::zeros(from.size(), CV_8UC1);
  DrawTurned(from, Eigen::Matrix3d::Identity(), &drawn);
  EXPECT_EQ(cv::norm(from, drawn, cv::NORM_INF), 0.0);
}

}  // namespace
}  // namespace loftline
