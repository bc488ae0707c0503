// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/background.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kBlock = Background::kBlockPx;
constexpr int kCellsAlong = 8;      // coarse grid of offsets: cells along the longer side
constexpr int kSampleStepPx = 16;   // one pixel in 16 each way is enough for a cell's median
constexpr int kCellRange = 8;       // a cell's offset may differ from the whole picture's by this many levels: people
                                    // who fill a cell must not become its brightness
constexpr int kNoiseCrossing = 4;   // excess that counts as noise crossing the threshold
constexpr int kStrongExcess = 400;  // of a block: with less in it, following is too slow to do harm
constexpr double kRisePerCrossing = 0.5;  // grey levels, at 30 frames/s
constexpr double kSinkLevelsPerSecond = 0.25;
constexpr double kBusyMemorySeconds = 0.8;
constexpr double kLowestThreshold = 4.0;
constexpr double kHighestThreshold = 60.0;

// Counts of a picture's pixels and blocks fit an int.
std::size_t Index(int number) {
  return static_cast<std::size_t>(number);
}

// The kernels are plain loops over bytes without branches, which the compiler turns into 16 or 32 bytes at a time
// (checked by measuring). max(a, b) - b is the saturating difference.
std::uint8_t Minus(std::uint8_t a, std::uint8_t b) {
  return static_cast<std::uint8_t>(std::max(a, b) - b);
}

void AddExcess(const std::uint8_t* __restrict seen,
               const std::uint8_t* __restrict level,
               const std::uint8_t* __restrict threshold,
               std::uint16_t* __restrict sum,
               int width) {
  for (int x = 0; x < width; ++x) {
    const std::uint8_t above = Minus(seen[x], level[x]);
    const std::uint8_t below = Minus(level[x], seen[x]);
    const std::uint8_t difference = static_cast<std::uint8_t>(above | below);
    sum[x] = static_cast<std::uint16_t>(sum[x] + Minus(difference, threshold[x]));
  }
}

void AddExcessWithOffset(const std::uint8_t* __restrict seen,
                         const std::uint8_t* __restrict level,
                         const std::uint8_t* __restrict threshold,
                         const std::uint8_t* __restrict cap,
                         const std::uint8_t* __restrict lift,
                         const std::uint8_t* __restrict drop,
                         std::uint16_t* __restrict sum,
                         int width) {
  for (int x = 0; x < width; ++x) {
    const std::uint8_t lifted = static_cast<std::uint8_t>(std::min(level[x], cap[x]) + lift[x]);
    const std::uint8_t expected = Minus(lifted, drop[x]);
    const std::uint8_t above = Minus(seen[x], expected);
    const std::uint8_t below = Minus(expected, seen[x]);
    const std::uint8_t difference = static_cast<std::uint8_t>(above | below);
    sum[x] = static_cast<std::uint16_t>(sum[x] + Minus(difference, threshold[x]));
  }
}

void FollowRow(const std::uint8_t* __restrict seen,
               std::uint8_t* __restrict level,
               const std::uint8_t* __restrict cap,
               const std::uint8_t* __restrict lift,
               const std::uint8_t* __restrict drop,
               const std::uint8_t* __restrict follow,
               int width) {
  for (int x = 0; x < width; ++x) {
    const std::uint8_t lifted = static_cast<std::uint8_t>(std::min(level[x], cap[x]) + lift[x]);
    const std::uint8_t expected = Minus(lifted, drop[x]);
    const std::uint8_t up = std::min(Minus(seen[x], expected), follow[x]);
    const std::uint8_t down = std::min(Minus(expected, seen[x]), follow[x]);
    const std::uint8_t raised = static_cast<std::uint8_t>(std::min<std::uint8_t>(level[x], 254) + up);
    level[x] = Minus(raised, down);
  }
}

// Whether the block whose corner lies at X, Y touches a block that is unknown.
bool AnyUnknown(const std::vector<std::uint8_t>& unknown, int across, double x_px, double y_px) {
  const int down = static_cast<int>(unknown.size()) / across;
  for (const double y : {y_px + 0.01, y_px + kBlock - 1.01}) {
    for (const double x : {x_px + 0.01, x_px + kBlock - 1.01}) {
      const int column = std::clamp(static_cast<int>(x) / kBlock, 0, across - 1);
      const int row = std::clamp(static_cast<int>(y) / kBlock, 0, down - 1);
      if (unknown[Index(row * across + column)] != 0) return true;
    }
  }
  return false;
}

int MedianOfHistogram(const int* counts, int size, int total) {
  int below = 0;
  for (int i = 0; i < size; ++i) {
    below += counts[i];
    if (2 * below >= total) return i;
  }
  return size / 2;
}

}  // namespace

void Background::Start(const cv::Mat& luma) {
  across_ = luma.cols / kBlock;
  down_ = luma.rows / kBlock;
  level_ = luma.clone();
  const std::size_t blocks = static_cast<std::size_t>(across_) * static_cast<std::size_t>(down_);
  threshold_.assign(blocks, first_threshold_);
  excess_.assign(blocks, 0);
  crossed_.assign(blocks, 0);
  busy_frames_.assign(blocks, 0);
  busy_share_.assign(blocks, 0.0F);
  usual_excess_.assign(blocks, 0.0F);
  offset_.assign(blocks, 0);
  const int longer_px = std::max(luma.cols, luma.rows);
  cell_offset_ = cv::Mat::zeros(
      std::max(1, luma.rows * kCellsAlong / longer_px), std::max(1, luma.cols * kCellsAlong / longer_px), CV_32F);
  const std::size_t width = Index(across_ * kBlock);
  for (auto* strip : {&strip_threshold_, &strip_cap_, &strip_lift_, &strip_drop_, &strip_follow_})
    strip->assign(width, 0);
  std::fill(strip_cap_.begin(), strip_cap_.end(), std::uint8_t{255});
  strip_sum_.assign(width, 0);
}

void Background::Look(const cv::Mat& luma, double step_s, const std::vector<std::uint8_t>& shown) {
  busy_.clear();
  shown_ = shown.empty() ? nullptr : &shown;
  if (frames_++ == 0 || luma.size() != level_.size()) {
    Start(luma);
    return;
  }
  if (!unknown_.empty()) LearnNew(luma);
  EstimateOffsets(luma);
  if (frames_ == 2) EstimateNoise(luma);
  // Every n-th row follows on this frame, so that each row follows once per kSecondsPerLevel.
  looked_s_ += step_s;
  const int every = looked_s_ < kSettleSeconds
                        ? 1
                        : std::max(1, static_cast<int>(std::lround(kSecondsPerLevel / std::max(step_s, 1e-4))));
  for (int strip = 0; strip < down_; ++strip) {
    if (any_offset_) SetOffsetsOfStrip(strip);
    ScanStrip(luma, strip);
    JudgeStrip(strip, step_s);
    FollowStrip(luma, strip, every, frames_ % every);
  }
}

// The first two frames' differences give the noise that the thresholds start from.
void Background::EstimateNoise(const cv::Mat& luma) {
  std::array<int, 256> counts{};
  int total = 0;
  for (int y = 4; y < luma.rows; y += kSampleStepPx) {
    const auto* seen = luma.ptr<std::uint8_t>(y);
    const auto* level = level_.ptr<std::uint8_t>(y);
    for (int x = 4; x < luma.cols; x += kSampleStepPx / 2) {
      ++counts[static_cast<std::size_t>(std::abs(seen[x] - level[x]))];
      ++total;
    }
  }
  const int median = MedianOfHistogram(counts.data(), 256, total);
  // Median of |difference| to standard deviation: 1.4826 for normal noise. Four deviations are crossed by one block of
  // 64 pixels in 250.
  const double threshold = std::clamp(4.0 * 1.4826 * median, 6.0, 30.0);
  first_threshold_ = static_cast<std::uint16_t>(threshold * kThresholdUnit);
  std::fill(threshold_.begin(), threshold_.end(), first_threshold_);
}

void Background::Move(const cv::Matx33d& new_from_old) {
  if (frames_ == 0) return;
  cv::Mat moved;
  cv::warpPerspective(level_, moved, new_from_old, level_.size(), cv::INTER_LINEAR, cv::BORDER_CONSTANT, cv::Scalar(0));
  level_ = moved;
  const std::size_t blocks = threshold_.size();
  Background old;
  old.threshold_.swap(threshold_), old.crossed_.swap(crossed_), old.busy_frames_.swap(busy_frames_);
  old.busy_share_.swap(busy_share_), old.usual_excess_.swap(usual_excess_), old.unknown_.swap(unknown_);
  threshold_.assign(blocks, first_threshold_);
  crossed_.assign(blocks, 0), busy_frames_.assign(blocks, 0);
  busy_share_.assign(blocks, 0.0F), usual_excess_.assign(blocks, 0.0F);
  unknown_.assign(blocks, 1);
  const cv::Matx33d old_from_new = new_from_old.inv();
  // The block in which the middle lay; known only where the old view held the whole block.
  constexpr double kHalf = 0.5 * (kBlock - 1);
  for (std::size_t i = 0; i < blocks; ++i) {
    const int number = static_cast<int>(i);
    const int column = number % across_, row = number / across_;
    const cv::Vec3d at = old_from_new * cv::Vec3d(column * kBlock + kHalf, row * kBlock + kHalf, 1.0);
    const double x = at[0] / at[2] - kHalf, y = at[1] / at[2] - kHalf;
    if (!(x > -0.01 && y > -0.01 && x < (across_ - 1) * kBlock + 0.01 && y < (down_ - 1) * kBlock + 0.01)) continue;
    const std::size_t from = Index(cvRound(y / kBlock) * across_ + cvRound(x / kBlock));
    if (!old.unknown_.empty() && AnyUnknown(old.unknown_, across_, x, y)) continue;
    threshold_[i] = old.threshold_[from], crossed_[i] = old.crossed_[from], busy_frames_[i] = old.busy_frames_[from];
    busy_share_[i] = old.busy_share_[from], usual_excess_[i] = old.usual_excess_[from];
    unknown_[i] = 0;
  }
}

// What lies in a block that comes into view is taken for the scene.
void Background::LearnNew(const cv::Mat& luma) {
  bool any = false;
  for (std::size_t i = 0; i < unknown_.size(); ++i) {
    if (unknown_[i] == 0) continue;
    if (!Shown(i)) {
      any = true;
      continue;
    }
    const int number = static_cast<int>(i);
    const cv::Rect block(number % across_ * kBlock, number / across_ * kBlock, kBlock, kBlock);
    luma(block).copyTo(level_(block));
    unknown_[i] = 0;
  }
  if (!any) unknown_.clear();
}

void Background::EstimateOffsets(const cv::Mat& luma) {
  samples_.clear();
  std::array<int, 511> counts{};
  const int width = across_ * kBlock;
  const int height = down_ * kBlock;
  for (int y = kSampleStepPx / 2; y < height; y += kSampleStepPx) {
    const auto* seen = luma.ptr<std::uint8_t>(y);
    const auto* level = level_.ptr<std::uint8_t>(y);
    for (int x = kSampleStepPx / 2; x < width; x += kSampleStepPx) {
      const int difference = seen[x] - level[x];
      samples_.push_back(static_cast<std::int16_t>(difference));
      ++counts[Index(difference + 255)];
    }
  }
  const int common = MedianOfHistogram(counts.data(), 511, static_cast<int>(samples_.size())) - 255;

  constexpr int kBins = 2 * kCellRange + 1;
  const int cells_across = cell_offset_.cols;
  std::vector<std::array<int, kBins>> cell_counts(static_cast<std::size_t>(cell_offset_.total()));
  std::size_t sample = 0;
  for (int y = kSampleStepPx / 2; y < height; y += kSampleStepPx) {
    const int cell_row = y * cell_offset_.rows / luma.rows * cells_across;
    for (int x = kSampleStepPx / 2; x < width; x += kSampleStepPx) {
      const int bin = std::clamp(samples_[sample++] - common + kCellRange, 0, kBins - 1);
      const std::size_t cell = Index(cell_row + x * cells_across / luma.cols);
      ++cell_counts[cell][static_cast<std::size_t>(bin)];
    }
  }
  any_offset_ = false;
  for (std::size_t cell = 0; cell < cell_counts.size(); ++cell) {
    int total = 0;
    for (const int count : cell_counts[cell]) total += count;
    int median = MedianOfHistogram(cell_counts[cell].data(), kBins, total) - kCellRange;
    if (std::abs(median) >= kCellRange) median = 0;
    const float offset = static_cast<float>(std::clamp(common + median, -120, 120));
    cell_offset_.at<float>(static_cast<int>(cell) / cells_across, static_cast<int>(cell) % cells_across) = offset;
    any_offset_ = any_offset_ || offset != 0.0F;
  }
  if (!any_offset_) {
    std::fill(offset_.begin(), offset_.end(), std::int8_t{0});
    std::fill(strip_cap_.begin(), strip_cap_.end(), std::uint8_t{255});
    std::fill(strip_lift_.begin(), strip_lift_.end(), std::uint8_t{0});
    std::fill(strip_drop_.begin(), strip_drop_.end(), std::uint8_t{0});
  }
}

void Background::SetOffsetsOfStrip(int strip) {
  const int rows = cell_offset_.rows;
  const int columns = cell_offset_.cols;
  const float v =
      std::clamp((static_cast<float>(strip) + 0.5F) / static_cast<float>(down_) * static_cast<float>(rows) - 0.5F,
                 0.0F,
                 static_cast<float>(rows - 1));
  const int top = std::min(static_cast<int>(v), std::max(0, rows - 2));
  const float lower_share = v - static_cast<float>(top);
  const float* above = cell_offset_.ptr<float>(top);
  const float* below = cell_offset_.ptr<float>(std::min(top + 1, rows - 1));
  for (int block = 0; block < across_; ++block) {
    const float u = std::clamp(
        (static_cast<float>(block) + 0.5F) / static_cast<float>(across_) * static_cast<float>(columns) - 0.5F,
        0.0F,
        static_cast<float>(columns - 1));
    const int left = std::min(static_cast<int>(u), std::max(0, columns - 2));
    const int right = std::min(left + 1, columns - 1);
    const float share = u - static_cast<float>(left);
    const float at_top = above[left] + share * (above[right] - above[left]);
    const float at_bottom = below[left] + share * (below[right] - below[left]);
    const int offset = static_cast<int>(std::floor(at_top + lower_share * (at_bottom - at_top) + 0.5F));
    offset_[Index(strip * across_ + block)] = static_cast<std::int8_t>(offset);
    const std::size_t first = Index(block * kBlock);
    const int lift = std::max(offset, 0);
    std::fill_n(strip_lift_.begin() + static_cast<std::ptrdiff_t>(first), kBlock, static_cast<std::uint8_t>(lift));
    std::fill_n(strip_cap_.begin() + static_cast<std::ptrdiff_t>(first), kBlock, static_cast<std::uint8_t>(255 - lift));
    std::fill_n(strip_drop_.begin() + static_cast<std::ptrdiff_t>(first),
                kBlock,
                static_cast<std::uint8_t>(std::max(-offset, 0)));
  }
}

void Background::ScanStrip(const cv::Mat& luma, int strip) {
  const int width = across_ * kBlock;
  for (int block = 0; block < across_; ++block) {
    const int threshold = threshold_[Index(strip * across_ + block)] / kThresholdUnit;
    std::fill_n(strip_threshold_.begin() + block * kBlock, kBlock, static_cast<std::uint8_t>(threshold));
  }
  std::fill(strip_sum_.begin(), strip_sum_.end(), std::uint16_t{0});
  for (int row = strip * kBlock; row < (strip + 1) * kBlock; ++row) {
    const auto* seen = luma.ptr<std::uint8_t>(row);
    const auto* level = level_.ptr<std::uint8_t>(row);
    if (any_offset_) {
      AddExcessWithOffset(seen,
                          level,
                          strip_threshold_.data(),
                          strip_cap_.data(),
                          strip_lift_.data(),
                          strip_drop_.data(),
                          strip_sum_.data(),
                          width);
    } else {
      AddExcess(seen, level, strip_threshold_.data(), strip_sum_.data(), width);
    }
  }
}

void Background::JudgeStrip(int strip, double step_s) {
  const int rise = static_cast<int>(std::lround(kRisePerCrossing * kThresholdUnit * std::min(1.0, step_s * 30.0)));
  const int sink = std::max(1, static_cast<int>(std::lround(kSinkLevelsPerSecond * kThresholdUnit * step_s)));
  const int hold = static_cast<int>(kHoldSeconds / std::max(step_s, 1e-4));
  const float newness = static_cast<float>(std::min(0.5, step_s / kBusyMemorySeconds));
  for (int block = 0; block < across_; ++block) {
    const std::size_t i = Index(strip * across_ + block);
    const std::uint16_t* column = strip_sum_.data() + block * kBlock;
    int sum = 0;
    for (int x = 0; x < kBlock; ++x) sum += column[x];
    if (!Shown(i)) {
      excess_[i] = 0;
      std::fill_n(strip_follow_.begin() + block * kBlock, kBlock, std::uint8_t{0});
      continue;
    }
    excess_[i] = static_cast<std::uint16_t>(sum);
    const int threshold = threshold_[i];
    const bool crossing = sum >= kNoiseCrossing;
    const int moved = crossing && crossed_[i] == 0 ? threshold + rise : threshold - (crossing ? 0 : sink);
    crossed_[i] = crossing ? 1 : 0;
    threshold_[i] = static_cast<std::uint16_t>(std::clamp(moved,
                                                          static_cast<int>(kLowestThreshold * kThresholdUnit),
                                                          static_cast<int>(kHighestThreshold * kThresholdUnit)));
    const bool busy = sum >= std::max(20, 2 * threshold / kThresholdUnit);
    busy_frames_[i] =
        sum >= kStrongExcess ? static_cast<std::uint16_t>(std::min(busy_frames_[i] + 1, 60000)) : std::uint16_t{0};
    if (busy) busy_.push_back(static_cast<int>(i));
    usual_excess_[i] += newness * (static_cast<float>(sum) - usual_excess_[i]);
    busy_share_[i] += newness * ((busy ? 255.0F : 0.0F) - busy_share_[i]);
    const bool follow = busy_frames_[i] == 0 || busy_frames_[i] > hold || looked_s_ < kSettleSeconds;
    std::fill_n(strip_follow_.begin() + block * kBlock, kBlock, static_cast<std::uint8_t>(follow ? 1 : 0));
  }
}

void Background::FollowStrip(const cv::Mat& luma, int strip, int every, int phase) {
  for (int row = strip * kBlock; row < (strip + 1) * kBlock; ++row) {
    if (row % every != phase) continue;
    FollowRow(luma.ptr<std::uint8_t>(row),
              level_.ptr<std::uint8_t>(row),
              strip_cap_.data(),
              strip_lift_.data(),
              strip_drop_.data(),
              strip_follow_.data(),
              across_ * kBlock);
  }
}

}  // namespace loftline
