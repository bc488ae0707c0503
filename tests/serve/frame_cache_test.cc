// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/frame_cache.h"

#include <chrono>
#include <thread>
#include <vector>

#include <gtest/gtest.h>

namespace loftline {
namespace {

constexpr std::size_t kFrameBytes = 64 * 48 * 3 / 2;

Frame FrameOf(int index) {
  Frame frame;
  frame.index = index;
  frame.luma = cv::Mat(48, 64, CV_8UC1, cv::Scalar(index));
  frame.chroma_blue = cv::Mat(24, 32, CV_8UC1, cv::Scalar(100));
  frame.chroma_red = cv::Mat(24, 32, CV_8UC1, cv::Scalar(150));
  return frame;
}

SharedJpeg JpegOf(std::size_t bytes) {
  return std::make_shared<const std::string>(bytes, 'j');
}

TEST(FrameCache, KeepsTheJpegsThatWereUsedLast) {
  FrameCache cache(5334);  // 4000 of it for JPEGs
  for (int frame = 0; frame < 4; ++frame) EXPECT_TRUE(cache.KeepJpeg({1, frame}, JpegOf(1000)));
  EXPECT_EQ(cache.bytes(), 4000U);
  EXPECT_NE(cache.Jpeg({1, 0}), nullptr);  // used again
  EXPECT_TRUE(cache.KeepJpeg({1, 4}, JpegOf(1000)));
  EXPECT_TRUE(cache.HasJpeg({1, 0}));
  EXPECT_FALSE(cache.HasJpeg({1, 1}));
  EXPECT_TRUE(cache.KeepJpeg({1, 5}, JpegOf(2500)));
  EXPECT_LE(cache.bytes(), 4000U);
  EXPECT_LE(cache.most_bytes(), 4000U);
  EXPECT_TRUE(cache.HasJpeg({1, 5}));
}

TEST(FrameCache, CountsAJpegOnceThatIsKeptTwice) {
  FrameCache cache(5334);  // 4000 of it for JPEGs
  EXPECT_TRUE(cache.KeepJpeg({1, 0}, JpegOf(1000)));
  EXPECT_TRUE(cache.KeepJpeg({1, 0}, JpegOf(1500)));
  EXPECT_EQ(cache.bytes(), 1500U);
  EXPECT_EQ(cache.Jpeg({1, 0})->size(), 1500U);
}

TEST(FrameCache, DoesNotKeepAJpegLargerThanAllItMay) {
  FrameCache cache(5334);  // 4000 of it for JPEGs
  EXPECT_TRUE(cache.KeepJpeg({1, 0}, JpegOf(1000)));
  EXPECT_FALSE(cache.KeepJpeg({1, 1}, JpegOf(5000)));
  EXPECT_TRUE(cache.HasJpeg({1, 0}));
}

TEST(FrameCache, TellsClipsApart) {
  FrameCache cache(5334);  // 4000 of it for JPEGs
  EXPECT_TRUE(cache.KeepJpeg({1, 7}, JpegOf(1000)));
  EXPECT_FALSE(cache.HasJpeg({2, 7}));
}

TEST(FrameCache, CopiesPlanes) {
  FrameCache cache(1 << 20);
  Frame frame = FrameOf(9);
  const SharedPlanes planes = cache.CopyPlanes(frame, {true, true}, {});
  frame.luma.setTo(0);
  EXPECT_EQ(cv::countNonZero(planes->luma != 9), 0);
  EXPECT_EQ(planes->chroma_red.at<std::uint8_t>(3, 3), 150);
  EXPECT_TRUE(planes->colour.bt601);
  EXPECT_EQ(cache.bytes(), kFrameBytes);
}

TEST(FrameCache, LetsOldPlanesGoForNewOnes) {
  FrameCache cache(4 * (3 * kFrameBytes));  // a quarter of it for planes
  for (int index = 0; index < 10; ++index) {
    cache.KeepPlanes({1, index}, cache.CopyPlanes(FrameOf(index), {}, {}));
    EXPECT_LE(cache.bytes(), 3 * kFrameBytes);
  }
  EXPECT_EQ(cache.Planes({1, 6}), nullptr);
  EXPECT_NE(cache.Planes({1, 7}), nullptr);
  EXPECT_NE(cache.Planes({1, 9}), nullptr);
}

TEST(FrameCache, CountsPlanesAsLongAsSomebodyHoldsThem) {
  FrameCache cache(4 * (2 * kFrameBytes));
  std::vector<SharedPlanes> held;
  for (int index = 0; index < 2; ++index) {
    held.push_back(cache.CopyPlanes(FrameOf(index), {}, {}));
    cache.KeepPlanes({1, index}, held.back());
  }
  EXPECT_EQ(cache.TryCopyPlanes(FrameOf(2), {}), nullptr);  // they left the cache, but not the memory
  EXPECT_EQ(cache.Planes({1, 0}), nullptr);
  EXPECT_EQ(cache.bytes(), 2 * kFrameBytes);
  held.pop_back();
  EXPECT_NE(cache.TryCopyPlanes(FrameOf(2), {}), nullptr);
}

TEST(FrameCache, LetsPlanesGoWhenThereIsAJpegOfThem) {
  FrameCache cache(1 << 20);
  cache.KeepPlanes({1, 5}, cache.CopyPlanes(FrameOf(5), {}, {}));
  EXPECT_TRUE(cache.KeepJpeg({1, 5}, JpegOf(1000)));
  EXPECT_EQ(cache.Planes({1, 5}), nullptr);
  EXPECT_EQ(cache.bytes(), 1000U);
}

TEST(FrameCache, WaitsForRoom) {
  FrameCache cache(4 * kFrameBytes);
  SharedPlanes held = cache.CopyPlanes(FrameOf(0), {}, {});
  std::jthread giver([&held] {
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    held.reset();
  });
  const SharedPlanes next = cache.CopyPlanes(FrameOf(1), {}, {});
  ASSERT_NE(next, nullptr);
  EXPECT_LE(cache.most_bytes(), kFrameBytes);
}

TEST(FrameCache, StopsWaitingWhenAsked) {
  FrameCache cache(4 * kFrameBytes);
  const SharedPlanes held = cache.CopyPlanes(FrameOf(0), {}, {});
  std::stop_source source;
  std::jthread stopper([&source] {
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    source.request_stop();
  });
  EXPECT_EQ(cache.CopyPlanes(FrameOf(1), {}, source.get_token()), nullptr);
}

TEST(FrameCache, TakesOnePictureHoweverLarge) {
  FrameCache cache(100);
  EXPECT_NE(cache.CopyPlanes(FrameOf(0), {}, {}), nullptr);
}

TEST(FrameCache, OutlivedByWhatItHandedOut) {
  SharedPlanes planes;
  {
    FrameCache cache(1 << 20);
    planes = cache.CopyPlanes(FrameOf(5), {}, {});
  }
  EXPECT_EQ(planes->luma.at<std::uint8_t>(0, 0), 5);
  planes.reset();
}

}  // namespace
}  // namespace loftline
