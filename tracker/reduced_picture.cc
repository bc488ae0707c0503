// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/reduced_picture.h"

#include <algorithm>
#include <cstdint>
#include <cstring>

namespace loftline {
namespace {

constexpr int kLongestPx = 1000;

}  // namespace

void HalvePicture(const cv::Mat& from, cv::Mat* to) {
  const int width = from.cols / 2;
  const int height = from.rows / 2;
  to->create(height, width, CV_8UC1);
  for (int y = 0; y < height; ++y) {
    const auto* above = from.ptr<std::uint8_t>(2 * y);
    const auto* below = from.ptr<std::uint8_t>(2 * y + 1);
    auto* out = to->ptr<std::uint8_t>(y);
    for (int x = 0; x < width; ++x) {
      // Two pixels are read as one number, which the compiler turns into wide loads without shuffles.
      std::uint16_t pair_above = 0;
      std::uint16_t pair_below = 0;
      std::memcpy(&pair_above, above + 2 * x, 2);
      std::memcpy(&pair_below, below + 2 * x, 2);
      const auto sum = static_cast<std::uint16_t>((pair_above & 255) + (pair_above >> 8) + (pair_below & 255) +
                                                  (pair_below >> 8) + 2);
      out[x] = static_cast<std::uint8_t>(sum >> 2);
    }
  }
}

int ReducedPicture::ShrinkFor(int width_px, int height_px) {
  int shrink = 1;
  while (std::max(width_px, height_px) / shrink > kLongestPx) shrink *= 2;
  return shrink;
}

void ReducedPicture::Reduce(const cv::Mat& luma, int shrink) {
  shrink_ = shrink;
  if (shrink == 1) {
    luma.copyTo(levels_[0]);
  } else if (shrink == 2) {
    HalvePicture(luma, levels_.data());
  } else {
    HalvePicture(luma, &between_);
    for (int done = 2; done < shrink; done *= 2) {
      cv::Mat next;
      HalvePicture(between_, 2 * done == shrink ? levels_.data() : &next);
      if (2 * done != shrink) between_ = next;
    }
  }
  for (std::size_t i = 1; i < kLevels; ++i) HalvePicture(levels_[i - 1], &levels_[i]);
}

Eigen::Vector2d ReducedPicture::LevelFromFrame(const Eigen::Vector2d& in_frame_px, int i) const {
  return (in_frame_px.array() - 0.5 * (Scale(i) - 1.0)) / Scale(i);
}

Eigen::Vector2d ReducedPicture::FrameFromLevel(const Eigen::Vector2d& in_level_px, int i) const {
  return in_level_px.array() * Scale(i) + 0.5 * (Scale(i) - 1.0);
}

}  // namespace loftline
