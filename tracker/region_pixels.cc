// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/region_pixels.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <cstring>

namespace loftline {
namespace {

constexpr int kBlock = Background::kBlockPx;
constexpr double kLowestNoise = 0.8;  // grey levels: compression smooths what the sensor's noise was
constexpr int kFewestRingPixels = 24;
constexpr int kMostBin = 64;
constexpr double kWithinOneDeviation = 0.6827;  // of a normal distribution
constexpr double kStrongNoises = 3.0, kLeastStrong = 3.0;

using Histogram = std::array<int, 2 * kMostBin + 1>;

// Within one grey level the median is interpolated: whole levels would move the ends of faint streaks.
double MedianOf(const Histogram& counts, int total, int* bin) {
  int below = 0;
  for (int i = 0; i < static_cast<int>(counts.size()); ++i) {
    const int here = counts[static_cast<std::size_t>(i)];
    below += here;
    if (2 * below < total) continue;
    *bin = i;
    return i - kMostBin + 0.5 - (below - 0.5 * total) / std::max(1, here);
  }
  return 0.0;
}

double NoiseAbout(const Histogram& counts, int total, int bin) {
  int within = 0;
  for (int radius = 0; radius <= kMostBin; ++radius) {
    const int low = bin - radius, high = bin + radius;
    if (low >= 0) within += counts[static_cast<std::size_t>(low)];
    if (radius > 0 && high < static_cast<int>(counts.size())) within += counts[static_cast<std::size_t>(high)];
    if (within >= kWithinOneDeviation * total) return std::max(kLowestNoise, static_cast<double>(radius));
  }
  return kLowestNoise;
}

}  // namespace

void RegionPixels::Open(const cv::Mat& luma,
                        const Background& background,
                        cv::Rect blocks,
                        const std::vector<Whose>& whose) {
  blocks_ = blocks;
  whose_ = whose;
  width_ = blocks.width * kBlock;
  height_ = blocks.height * kBlock;
  stride_ = width_ + 2 * kMargin;
  const std::size_t size = Index(stride_) * Index(height_ + 2 * kMargin);
  difference_.resize(size);
  along_.resize(size);
  joined_.assign(size, 0);
  strong_.assign(size, 0);
  Subtract(luma, background);
  LevelOfRing();
  MarkStrong();
  Widen();
  Collect();
}

void RegionPixels::Subtract(const cv::Mat& luma, const Background& background) {
  const int left_px = blocks_.x * kBlock, top_px = blocks_.y * kBlock;
  for (int y = 0; y < height_; ++y) {
    const auto* seen = luma.ptr<std::uint8_t>(top_px + y) + left_px;
    const auto* expected = background.level().ptr<std::uint8_t>(top_px + y) + left_px;
    std::int16_t* difference = difference_.data() + RowAt(y);
    const int first_block = (blocks_.y + y / kBlock) * background.blocks_across() + blocks_.x;
    for (int i = 0; i < blocks_.width; ++i) {
      const int offset = background.OffsetOfBlock(first_block + i);
      for (int x = i * kBlock; x < (i + 1) * kBlock; ++x) {
        difference[x] = static_cast<std::int16_t>(seen[x] - expected[x] - offset);
      }
    }
  }
}

// Median and noise of the background in the window.
void RegionPixels::LevelOfRing() {
  Histogram counts{};
  int total = 0;
  for (int y = 0; y < height_; ++y) {
    const std::int16_t* difference = difference_.data() + RowAt(y);
    for (int i = 0; i < blocks_.width; ++i) {
      if (WhoseBlock(i, y / kBlock) != Whose::kNobodys) continue;
      for (int x = i * kBlock; x < (i + 1) * kBlock; ++x) {
        ++counts[Index(std::clamp<int>(difference[x], -kMostBin, kMostBin) + kMostBin)];
      }
      total += kBlock;
    }
  }
  middle_ = 0.0;
  noise_ = kLowestNoise;
  if (total < kFewestRingPixels) return;
  int bin = 0;
  middle_ = MedianOf(counts, total, &bin);
  noise_ = NoiseAbout(counts, total, bin);
}

void RegionPixels::MarkStrong() {
  const double threshold = std::max(kLeastStrong, kStrongNoises * noise_);
  const auto above = static_cast<std::int16_t>(std::floor(middle_ + threshold));
  const auto below = static_cast<std::int16_t>(std::ceil(middle_ - threshold));
  for (int y = 0; y < height_; ++y) {
    const std::int16_t* difference = difference_.data() + RowAt(y);
    std::uint8_t* strong = strong_.data() + RowAt(y);
    for (int i = 0; i < blocks_.width; ++i) {
      if (WhoseBlock(i, y / kBlock) == Whose::kOthers) continue;
      for (int x = i * kBlock; x < (i + 1) * kBlock; ++x) {
        // Without branches, so that the compiler takes many pixels at a time.
        strong[x] = static_cast<std::uint8_t>((difference[x] > above) | (difference[x] < below));
      }
    }
  }
}

// By two pixels to all sides, but not into what belongs to another region.
void RegionPixels::Widen() {
  for (int y = -kMargin; y < height_ + kMargin; ++y) {
    const std::uint8_t* in = strong_.data() + RowAt(y);
    std::uint8_t* out = along_.data() + RowAt(y);
    for (int x = 0; x < width_; ++x) {
      out[x] = static_cast<std::uint8_t>(in[x - 2] | in[x - 1] | in[x] | in[x + 1] | in[x + 2]);
    }
  }
  for (int y = 0; y < height_; ++y) {
    const std::uint8_t* in = along_.data() + RowAt(y);
    std::uint8_t* out = joined_.data() + RowAt(y);
    const std::ptrdiff_t down = stride_;
    for (int x = 0; x < width_; ++x) {
      out[x] = static_cast<std::uint8_t>(in[x - 2 * down] | in[x - down] | in[x] | in[x + down] | in[x + 2 * down]);
    }
    for (int i = 0; i < blocks_.width; ++i) {
      if (WhoseBlock(i, y / kBlock) == Whose::kOthers) std::fill_n(out + i * kBlock, kBlock, std::uint8_t{0});
    }
  }
}

void RegionPixels::Collect() {
  found_ = 0;
  for (int y = 0; y < height_; ++y) {
    const std::uint8_t* row = joined_.data() + RowAt(y);
    int x = 0;
    while (const void* at = std::memchr(row + x, 1, static_cast<std::size_t>(width_ - x))) {
      x = static_cast<int>(static_cast<const std::uint8_t*>(at) - row);
      if (found_ == pieces_.size()) pieces_.emplace_back();
      Flood(RowAt(y) + static_cast<std::size_t>(x), &pieces_[found_++]);
    }
  }
}

// Takes the piece that SEED lies in out of the mask.
void RegionPixels::Flood(std::size_t seed, RegionPiece* piece) {
  piece->pixels.clear();
  piece->strength = 0.0;
  const auto stride = static_cast<std::size_t>(stride_);
  const float left_px = static_cast<float>(blocks_.x * kBlock - kMargin);
  const float top_px = static_cast<float>(blocks_.y * kBlock - kMargin);
  const float middle = static_cast<float>(middle_);
  open_.assign(1, seed);
  joined_[seed] = 0;
  while (!open_.empty()) {
    const std::size_t at = open_.back();
    open_.pop_back();
    const float value = static_cast<float>(difference_[at]) - middle;
    const std::size_t row = at / stride, column = at % stride;
    piece->pixels.push_back({left_px + static_cast<float>(column), top_px + static_cast<float>(row), value});
    if (strong_[at] != 0) piece->strength += std::abs(value);
    for (const std::size_t middle_at : {at - stride, at, at + stride}) {
      for (std::size_t next = middle_at - 1; next <= middle_at + 1; ++next) {
        if (joined_[next] == 0) continue;
        joined_[next] = 0;
        open_.push_back(next);
      }
    }
  }
}

}  // namespace loftline
