// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/background.h"
#include "tracker/measure_body.h"

#include <cstdint>
#include <span>
#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// Whose a block of a window is: the region's that is looked at, another region's, or nobody's (background).
enum class Whose : std::uint8_t { kOthers, kNobodys, kMine };

// Connected pixels that stand out, with two pixels around them, since a body's faint ends reach into the ring.
struct RegionPiece {
  std::vector<BodyPixel> pixels;
  double strength = 0.0;  // sum of |difference| over the pixels that stand out, grey levels px
};

// The pixels in and around one region of moving blocks. Buffers are kept from region to region.
class RegionPixels {
 public:
  // LUMA: the frame that BACKGROUND looked at last. BLOCKS: a window of whole blocks within the picture; WHOSE: one
  // entry for each of its blocks, row by row.
  void Open(const cv::Mat& luma, const Background& background, cv::Rect blocks, const std::vector<Whose>& whose);

  // Standard deviation of the background around the region, grey levels.
  double noise() const { return noise_; }
  // In order of their first pixels. Valid until the next Open.
  std::span<const RegionPiece> pieces() const { return {pieces_.data(), found_}; }

 private:
  void Subtract(const cv::Mat& luma, const Background& background);
  void LevelOfRing();
  void MarkStrong();
  void Widen();
  void Collect();
  void Flood(std::size_t seed, RegionPiece* piece);
  Whose WhoseBlock(int x_block, int y_block) const {
    return whose_[Index(y_block) * Index(blocks_.width) + Index(x_block)];
  }
  // Rows of the buffers have a margin on all sides, so that neighbours need no bounds.
  std::size_t RowAt(int y) const { return Index(y + kMargin) * Index(stride_) + Index(kMargin); }
  static std::size_t Index(int number) { return static_cast<std::size_t>(number); }

  static constexpr int kMargin = 2;

  cv::Rect blocks_;
  int stride_ = 0, width_ = 0, height_ = 0;
  std::vector<Whose> whose_;
  std::vector<std::int16_t> difference_;
  std::vector<std::uint8_t> strong_, along_, joined_;
  std::vector<std::size_t> open_;
  std::vector<RegionPiece> pieces_;  // the first FOUND; the others keep their room
  std::size_t found_ = 0;
  double middle_ = 0.0, noise_ = 0.0;
};

}  // namespace loftline
