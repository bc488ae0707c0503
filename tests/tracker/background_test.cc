// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/background.h"

#include <algorithm>
#include <vector>

#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kAcross = 40, kDown = 30, kBlock = Background::kBlockPx;
constexpr double kStepS = 1.0 / 60.0;

// A scene wider than the picture, with texture, the same in every run.
cv::Mat Scene() {
  cv::Mat scene(2 * kDown * kBlock, 2 * kAcross * kBlock, CV_8UC1);
  cv::RNG random(3);
  random.fill(scene, cv::RNG::UNIFORM, 30, 220);
  cv::GaussianBlur(scene, scene, cv::Size(0, 0), 2.0);
  return scene;
}

cv::Mat Seen(const cv::Mat& scene, int left, int top, cv::RNG* random) {
  const cv::Mat part = scene(cv::Rect(left, top, kAcross * kBlock, kDown * kBlock));
  cv::Mat noise(part.size(), CV_16S), noisy;
  random->fill(noise, cv::RNG::NORMAL, 0.0, 1.5);
  part.convertTo(noisy, CV_16S);
  noisy += noise;
  cv::Mat picture;
  noisy.convertTo(picture, CV_8U);
  return picture;
}

cv::Matx33d ShiftedBy(int left, int top) {
  return {1.0, 0.0, -static_cast<double>(left), 0.0, 1.0, -static_cast<double>(top), 0.0, 0.0, 1.0};
}

// Blocks of the columns from FIRST to LAST, the last not included.
std::size_t BusyBetween(const Background& background, int first, int last) {
  return static_cast<std::size_t>(
      std::count_if(background.busy_blocks().begin(), background.busy_blocks().end(), [&](int block) {
        return block % kAcross >= first && block % kAcross < last;
      }));
}

class MovedBackground : public testing::Test {
 protected:
  void SetUp() override {
    for (int i = 0; i < 40; ++i) background_.Look(Seen(scene_, 0, 0, &random_), i > 0 ? kStepS : 0.0);
    ASSERT_LT(background_.busy_blocks().size(), 5U);
  }

  cv::Mat scene_ = Scene();
  cv::RNG random_{7};
  Background background_;
};

TEST_F(MovedBackground, KnowsTheSceneWhereTheViewHasGone) {
  constexpr int kLeft = 4 * kBlock, kTop = 2 * kBlock;
  // Without being told, it sees nothing but change.
  Background untold = background_;
  untold.Look(Seen(scene_, kLeft, kTop, &random_), kStepS);
  ASSERT_GT(untold.busy_blocks().size(), 600U);
  background_.Move(ShiftedBy(kLeft, kTop));
  background_.Look(Seen(scene_, kLeft, kTop, &random_), kStepS);
  EXPECT_LT(background_.busy_blocks().size(), 5U);
}

TEST_F(MovedBackground, LearnsNewBlocksFromTheFirstFrameThatShowsThem) {
  constexpr int kNew = 4;  // columns of blocks, on the right
  std::vector<std::uint8_t> shown(kAcross * kDown, 1);
  for (std::size_t i = 0; i < shown.size(); ++i) shown[i] = i % kAcross < kAcross - kNew ? 1 : 0;
  background_.Move(ShiftedBy(kNew * kBlock, 0));
  // At first the frame does not reach so far: what its picture holds there means nothing.
  cv::Mat picture = Seen(scene_, kNew * kBlock, 0, &random_);
  picture.colRange((kAcross - kNew) * kBlock, picture.cols).setTo(0);
  background_.Look(picture, kStepS, shown);
  EXPECT_EQ(BusyBetween(background_, kAcross - kNew, kAcross), 0U);
  background_.Look(Seen(scene_, kNew * kBlock, 0, &random_), kStepS);
  EXPECT_EQ(BusyBetween(background_, kAcross - kNew, kAcross), 0U);
  // Something that comes afterwards is seen, there as elsewhere.
  picture = Seen(scene_, kNew * kBlock, 0, &random_);
  cv::rectangle(picture, cv::Rect((kAcross - 3) * kBlock, 10 * kBlock, kBlock, kBlock), cv::Scalar(255), cv::FILLED);
  background_.Look(picture, kStepS);
  EXPECT_GE(BusyBetween(background_, kAcross - kNew, kAcross), 1U);
}

TEST_F(MovedBackground, SeesNothingInBlocksThatAreNotShown) {
  std::vector<std::uint8_t> shown(kAcross * kDown, 0);
  cv::Mat picture = Seen(scene_, 0, 0, &random_);
  picture.setTo(255);
  background_.Look(picture, kStepS, shown);
  EXPECT_TRUE(background_.busy_blocks().empty());
  background_.Look(Seen(scene_, 0, 0, &random_), kStepS);
  EXPECT_LT(background_.busy_blocks().size(), 5U);
}

}  // namespace
}  // namespace loftline
