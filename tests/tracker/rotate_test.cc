// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/rotate.h"

#include <algorithm>

#include <gtest/gtest.h>
#include <opencv2/core.hpp>

namespace loftline {
namespace {

cv::Mat Turned(const cv::Mat& stored, Turn turn, int strip_rows) {
  cv::Mat upright(TurnedSize(stored.size(), turn), CV_8UC1, cv::Scalar(7));
  for (int first = 0; first < stored.rows; first += strip_rows) {
    const int last = std::min(first + strip_rows, stored.rows);
    TurnRows(stored.rowRange(first, last), first, stored.rows, turn, upright);
  }
  return upright;
}

// OpenCV's own turns are the reference.
cv::Mat Reference(const cv::Mat& stored, Turn turn) {
  cv::Mat mirrored;
  if (turn.mirrored) {
    cv::flip(stored, mirrored, 1);
  } else {
    mirrored = stored.clone();
  }
  cv::Mat upright;
  switch (turn.clockwise_deg) {
    case 90:
      cv::rotate(mirrored, upright, cv::ROTATE_90_CLOCKWISE);
      break;
    case 180:
      cv::rotate(mirrored, upright, cv::ROTATE_180);
      break;
    case 270:
      cv::rotate(mirrored, upright, cv::ROTATE_90_COUNTERCLOCKWISE);
      break;
    default:
      upright = mirrored;
  }
  return upright;
}

TEST(TurnRows, EqualsOpenCvForAllTurnsAndSizes) {
  cv::RNG random(20261);
  for (const cv::Size size : {cv::Size(64, 64), cv::Size(97, 53), cv::Size(16, 15), cv::Size(5, 130), cv::Size(1, 1)}) {
    cv::Mat padded(size.height, size.width + 9, CV_8UC1);  // a stride that is not the width, as decoders have
    random.fill(padded, cv::RNG::UNIFORM, 0, 256);
    const cv::Mat stored = padded.colRange(0, size.width);
    for (const int degrees : {0, 90, 180, 270}) {
      for (const bool mirrored : {false, true}) {
        for (const int strip_rows : {64, 20}) {
          const Turn turn{degrees, mirrored};
          const cv::Mat difference = Turned(stored, turn, strip_rows) != Reference(stored, turn);
          EXPECT_EQ(cv::countNonZero(difference), 0) << size << " " << degrees << " " << mirrored << " " << strip_rows;
        }
      }
    }
  }
}

constexpr std::int32_t kOne = 0x10000;

TEST(TurnFromDisplayMatrix, TakesSmallRoundingButNoSlant) {
  const std::optional<Turn> rounded = TurnFromDisplayMatrix({3, kOne, 0, -kOne, 3, 0, 0, 0, 0x40000000});
  ASSERT_TRUE(rounded);
  EXPECT_EQ(rounded->clockwise_deg, 90);
  EXPECT_FALSE(rounded->mirrored);
  const std::optional<Turn> scaled = TurnFromDisplayMatrix({-2 * kOne, 0, 0, 0, -2 * kOne, 0, 0, 0, 0x40000000});
  ASSERT_TRUE(scaled);
  EXPECT_EQ(scaled->clockwise_deg, 180);
  EXPECT_FALSE(TurnFromDisplayMatrix({kOne, kOne / 4, 0, -kOne / 4, kOne, 0, 0, 0, 0x40000000}));
  EXPECT_FALSE(TurnFromDisplayMatrix({0, 0, 0, 0, 0, 0, 0, 0, 0}));
}

}  // namespace
}  // namespace loftline
