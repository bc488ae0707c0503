// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/still_frames.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(StillFrames, TakesTheStillestFrameOfEachStretch) {
  StillFrames frames(5);
  // Grey levels: the change is least at 3, 7 and 14; the last stretch has two frames.
  const int levels[] = {10, 30, 60, 61, 90, 120, 160, 162, 200, 150, 100, 60, 30, 80, 80, 20, 200};
  for (int i = 0; i < 17; ++i) frames.Add(i, cv::Mat(64, 96, CV_8UC1, cv::Scalar(levels[i])));
  ASSERT_EQ(frames.kept().size(), 4U);
  EXPECT_EQ(frames.kept()[0].index, 3);
  EXPECT_EQ(frames.kept()[1].index, 7);
  EXPECT_EQ(frames.kept()[2].index, 14);
  EXPECT_EQ(frames.kept()[3].index, 15);
  EXPECT_EQ(frames.kept()[1].luma.at<std::uint8_t>(3, 4), 162);
  EXPECT_EQ(frames.kept()[1].luma.size(), cv::Size(96, 64));
}

}  // namespace
}  // namespace loftline
