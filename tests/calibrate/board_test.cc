// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/board.h"

#include <algorithm>

#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

// A printed board of 10 x 7 squares of 60 px, seen through HOMOGRAPHY and a little blur.
cv::Mat DrawnBoard(const cv::Matx33d& px_from_board, cv::Size picture) {
  constexpr int square_px = 60;
  cv::Mat board(9 * square_px, 12 * square_px, CV_8UC1, cv::Scalar(225));  // with a white margin
  for (int row = 0; row < 7; ++row) {
    for (int column = row % 2; column < 10; column += 2) {
      cv::rectangle(board, {(column + 1) * square_px, (row + 1) * square_px, square_px, square_px}, 30, cv::FILLED);
    }
  }
  cv::Mat seen;
  cv::warpPerspective(board, seen, px_from_board, picture, cv::INTER_AREA, cv::BORDER_CONSTANT, 140);
  cv::GaussianBlur(seen, seen, {}, 0.8);
  return seen;
}

TEST(FindBoard, FindsCornersToATenthOfAPixel) {
  const cv::Matx33d px_from_board(1.4, 0.12, 330, -0.1, 1.25, 160, 1e-4, 6e-5, 1);
  const cv::Mat large = DrawnBoard(px_from_board, {1920, 1080});  // is searched reduced
  cv::Mat small;
  cv::resize(large, small, {}, 0.5, 0.5, cv::INTER_AREA);
  for (const cv::Mat& picture : {large, small}) {
    const double factor = picture.cols / 1920.0;
    const auto corners = FindBoard(picture, {9, 6});
    ASSERT_TRUE(corners);
    ASSERT_EQ(corners->size(), 54U);
    double worst_px = 0.0;
    for (int row = 0; row < 6; ++row) {
      for (int column = 0; column < 9; ++column) {
        // A square's border lies half a pixel before its first pixel's centre.
        const cv::Vec3d at = px_from_board * cv::Vec3d((column + 2) * 60 - 0.5, (row + 2) * 60 - 0.5, 1);
        const Eigen::Vector2d truth((at[0] / at[2] + 0.5) * factor - 0.5, (at[1] / at[2] + 0.5) * factor - 0.5);
        double nearest_px = 1e9;  // a board has no first corner of its own: it may be read from its other end
        for (const Eigen::Vector2d& corner : *corners) nearest_px = std::min(nearest_px, (corner - truth).norm());
        worst_px = std::max(worst_px, nearest_px);
      }
    }
    EXPECT_LT(worst_px, 0.1) << picture.size();
  }
}

TEST(FindBoard, FindsNothingWhereThereIsNone) {
  cv::Mat noise(360, 640, CV_8UC1);
  cv::randn(noise, 128, 30);
  EXPECT_FALSE(FindBoard(noise, {9, 6}));
  const cv::Matx33d px_from_board(0.6, 0, 60, 0, 0.6, 20, 0, 0, 1);
  EXPECT_TRUE(FindBoard(DrawnBoard(px_from_board, {640, 360}), {9, 6}));
  EXPECT_FALSE(FindBoard(DrawnBoard(px_from_board, {640, 360}), {8, 5}));                     // another board
  EXPECT_FALSE(FindBoard(DrawnBoard(px_from_board, {640, 360}).colRange(200, 640), {9, 6}));  // cut off
}

}  // namespace
}  // namespace loftline
