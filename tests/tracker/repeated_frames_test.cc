// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/repeated_frames.h"

#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

// A bright square of 24 px on grey, its left side at LEFT_PX.
cv::Mat Square(int left_px) {
  cv::Mat picture(120, 320, CV_8UC1, cv::Scalar(90));
  picture(cv::Rect(left_px, 40, 24, 24)).setTo(220);
  return picture;
}

TEST(MotionBefore, TellsMotionFromARepeatedPicture) {
  const std::optional<MotionSeen> moved = MotionBefore(Square(20), Square(40), Square(60));
  ASSERT_TRUE(moved);
  EXPECT_GT(moved->before_share, 0.45);
  const std::optional<MotionSeen> fast = MotionBefore(Square(20), Square(70), Square(120));
  ASSERT_TRUE(fast);
  EXPECT_GT(fast->before_share, 0.45) << "half of what changes is where it has been";
  const std::optional<MotionSeen> repeated = MotionBefore(Square(40), Square(40), Square(60));
  ASSERT_TRUE(repeated);
  EXPECT_EQ(repeated->before_share, 0.0);
  EXPECT_GE(repeated->blocks, 8);
}

TEST(MotionBefore, SaysNothingWhereNothingMoves) {
  EXPECT_FALSE(MotionBefore(Square(40), Square(40), Square(40)));
  cv::Mat noisy = Square(40) + 5;
  EXPECT_FALSE(MotionBefore(Square(40), noisy, Square(40))) << "5 grey levels are no motion";
}

std::vector<int> Repeats(const std::vector<std::optional<MotionSeen>>& motions, RepeatRule* rule) {
  std::vector<int> frames;
  for (std::size_t i = 0; i < motions.size(); ++i) {
    if (rule->IsRepeat(static_cast<int>(i), motions[i])) frames.push_back(static_cast<int>(i));
  }
  return frames;
}

constexpr MotionSeen kMotion{0.9, 20}, kNone{0.01, 20}, kLittle{0.2, 20}, kHardlyAny{0.01, 3}, kBeforeAFlash{0.05, 900};

// Frame 3 is frame 2 once more: from 2 to 3 nothing moves.
TEST(RepeatRule, TakesWhatStandsStillBetweenMotions) {
  RepeatRule rule;
  EXPECT_THAT(Repeats({kMotion, kMotion, std::nullopt, kNone, kMotion, kMotion}, &rule), testing::ElementsAre(3));
}

TEST(RepeatRule, LeavesWhatStartsToMove) {
  RepeatRule rule;
  EXPECT_THAT(Repeats({std::nullopt, std::nullopt, kNone, kMotion, kMotion}, &rule), testing::IsEmpty());
  EXPECT_THAT(Repeats({kMotion, kMotion, std::nullopt, kHardlyAny, kMotion}, &rule), testing::IsEmpty())
      << "too little moves to tell";
  EXPECT_THAT(Repeats({kMotion, kMotion, std::nullopt, kLittle, kMotion}, &rule), testing::IsEmpty());
}

// What moves on the frame before a flash looks little beside it.
TEST(RepeatRule, LeavesTheFrameBeforeAFlash) {
  RepeatRule rule;
  EXPECT_THAT(Repeats({kMotion, kMotion, kMotion, kBeforeAFlash, kMotion}, &rule), testing::IsEmpty());
}

TEST(RepeatRule, LearnsThatEverySecondFrameRepeats) {
  RepeatRule rule;
  const std::vector<std::optional<MotionSeen>> coarse = {kMotion,
                                                         kLittle,
                                                         kMotion,
                                                         kLittle,
                                                         kMotion,
                                                         kLittle,
                                                         kMotion,
                                                         kLittle,
                                                         kMotion,
                                                         std::nullopt,
                                                         std::nullopt,
                                                         std::nullopt};
  EXPECT_THAT(Repeats(coarse, &rule), testing::ElementsAre(7, 9, 11));
  EXPECT_THAT(rule.late(), testing::ElementsAre(1, 3, 5));
}

TEST(RepeatRule, ForgetsWhenEveryFrameMovesAgain) {
  RepeatRule rule;
  std::vector<std::optional<MotionSeen>> motions;
  for (int i = 0; i < 10; ++i) motions.insert(motions.end(), {kMotion, kLittle});
  for (int i = 0; i < 10; ++i) motions.emplace_back(kMotion);
  for (int i = 0; i < 4; ++i) motions.emplace_back(std::nullopt);
  const std::vector<int> frames = Repeats(motions, &rule);
  ASSERT_FALSE(frames.empty());
  EXPECT_LT(frames.back(), 20);
}

}  // namespace
}  // namespace loftline
