// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/decode_planes.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// Black and white of limited range: 16 and 235 in 8 bit, 64 and 940 in 10 bit (Rec. ITU-R BT.709-6, item 5.7, also
// BT.601-7); in between Y' is linear, so full range is 255 (level - black) / (white - black), clipped.
double FullRange(double level, double black, double white) {
  return std::clamp(255.0 * (level - black) / (white - black), 0.0, 255.0);
}

TEST(FullRangeRow, RoundsEveryEightBitLevelToTheNearest) {
  std::vector<std::uint8_t> from(256), to(256);
  std::iota(from.begin(), from.end(), 0);
  for (const int count : {256, 16, 7}) {  // in vectors, and the rest of a row
    for (int start = 0; start + count <= 256; start += count) {
      FullRangeRow(from.data() + start, to.data() + start, count);
    }
    for (int level = 0; level < 256 / count * count; ++level) {
      EXPECT_EQ(to[static_cast<std::size_t>(level)], std::lround(FullRange(level, 16, 235))) << level;
    }
  }
}

TEST(FullRangeRow, RoundsEveryTenBitLevelToTheNearest) {
  std::vector<std::uint16_t> from(1024);
  std::iota(from.begin(), from.end(), 0);
  std::vector<std::uint8_t> to(1024);
  for (const int shift : {0, 6}) {  // planar, and P010 with its low bits empty
    std::vector<std::uint16_t> stored(from);
    for (std::uint16_t& level : stored) level = static_cast<std::uint16_t>(level << shift);
    for (const bool limited : {true, false}) {
      for (const int count : {1024, 5}) {
        for (int start = 0; start + count <= 1024; start += count) {
          FullRangeRow(stored.data() + start, to.data() + start, count, limited, shift);
        }
        for (int level = 0; level < 1024 / count * count; ++level) {
          const double exact = limited ? FullRange(level, 64, 940) : FullRange(level, 0, 1023);
          // A half may go either way; 1/100 is the coarseness of seven bits of fraction.
          EXPECT_LE(std::abs(to[static_cast<std::size_t>(level)] - exact), 0.51) << level << " limited " << limited;
        }
      }
    }
  }
}

FramePtr TenBitFrame(AVPixelFormat format, int width, int height) {
  FramePtr frame(av_frame_alloc());
  frame->format = format;
  frame->width = width;
  frame->height = height;
  frame->color_range = AVCOL_RANGE_MPEG;
  EXPECT_GE(av_frame_get_buffer(frame.get(), 0), 0);
  return frame;
}

std::uint16_t& LevelAt(AVFrame& frame, int plane, int x, int y) {
  return reinterpret_cast<std::uint16_t*>(frame.data[plane] + y * frame.linesize[plane])[x];
}

// P010 (what hardware decoders hand out) holds the same levels as planar ten bit, in the high bits and with blue and
// red side by side; few containers can carry it, so the frame is made here.
TEST(UprightPlanes, TakesP010AsItTakesPlanarTenBit) {
  constexpr int kWidth = 50, kHeight = 34;
  const FramePtr planar = TenBitFrame(AV_PIX_FMT_YUV420P10LE, kWidth, kHeight);
  const FramePtr packed = TenBitFrame(AV_PIX_FMT_P010LE, kWidth, kHeight);
  for (int y = 0; y < kHeight; ++y) {
    for (int x = 0; x < kWidth; ++x) {
      const auto level = static_cast<std::uint16_t>((x * 31 + y * 17) % 1024);
      LevelAt(*planar, 0, x, y) = level;
      LevelAt(*packed, 0, x, y) = static_cast<std::uint16_t>(level << 6);
    }
  }
  for (int y = 0; y < kHeight / 2; ++y) {
    for (int x = 0; x < kWidth / 2; ++x) {
      for (int colour = 0; colour < 2; ++colour) {
        const auto level = static_cast<std::uint16_t>((x * 41 + y * 29 + colour * 500) % 1024);
        LevelAt(*planar, 1 + colour, x, y) = level;
        LevelAt(*packed, 1, 2 * x + colour, y) = static_cast<std::uint16_t>(level << 6);
      }
    }
  }
  UprightPlanes from_planar(Turn{90, false}), from_packed(Turn{90, false});
  ASSERT_TRUE(from_planar.Take(*planar));
  ASSERT_TRUE(from_packed.Take(*packed));
  EXPECT_EQ(from_packed.luma().size(), cv::Size(kHeight, kWidth));
  EXPECT_EQ(cv::countNonZero(from_planar.luma() != from_packed.luma()), 0);
  EXPECT_EQ(cv::countNonZero(from_planar.chroma_blue() != from_packed.chroma_blue()), 0);
  EXPECT_EQ(cv::countNonZero(from_planar.chroma_red() != from_packed.chroma_red()), 0);
  // Stored (3, 2) goes to the row 3, and to the third column from the right.
  EXPECT_EQ(from_packed.luma().at<std::uint8_t>(3, kHeight - 1 - 2), std::lround(FullRange(3 * 31 + 2 * 17, 64, 940)));
  EXPECT_EQ(from_packed.chroma_red().at<std::uint8_t>(3, kHeight / 2 - 1 - 2),
            std::lround((3 * 41 + 2 * 29 + 500) / 4.0));
}

TEST(UprightPlanes, LooksAtAFullRangePictureWithoutCopyingIt) {
  FramePtr frame(av_frame_alloc());
  frame->format = AV_PIX_FMT_YUV420P;
  frame->width = 64;
  frame->height = 32;
  frame->color_range = AVCOL_RANGE_JPEG;
  ASSERT_GE(av_frame_get_buffer(frame.get(), 0), 0);
  UprightPlanes planes(Turn{});
  ASSERT_TRUE(planes.Take(*frame));
  EXPECT_EQ(planes.luma().data, frame->data[0]);
  EXPECT_EQ(planes.chroma_red().data, frame->data[2]);
}

}  // namespace
}  // namespace loftline
