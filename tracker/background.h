// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <algorithm>
#include <cstdint>
#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// What stands still in the picture, and how much each 8 x 8 block of it flickers.
//
// Every pixel keeps one grey level, which follows the picture by at most one level per 1/15 s (a "sigma-delta" average:
// it settles at the median), so that a passing rocket leaves next to no trace. Blocks in which something strong moves
// are not followed at all for the first 1.5 s: a bright rocket near its apogee stays on one block for long. In the
// first 0.4 s every pixel follows on every frame, since the first picture of a compressed clip is coded unlike the
// others. Brightness that changes over large areas (exposure, clouds, mains light) is taken out by an offset per block,
// interpolated from the medians of a coarse grid.
//
// Each block has a threshold on |picture - background| that rises each time noise crosses it and sinks slowly
// otherwise: it settles where about one frame in sixty has a crossing. Swaying leaves so raise their own threshold.
//
// Rates are those of seconds, taken from the time stamps, never of frames. The work per frame is one pass over the
// bytes of picture and background.
class Background {
 public:
  static constexpr int kBlockPx = 8;
  static constexpr double kSecondsPerLevel = 1.0 / 15.0;
  static constexpr double kHoldSeconds = 1.5;
  static constexpr double kSettleSeconds = 0.4;

  // LUMA: CV_8UC1, at least one block each way. STEP_S: time since the frame before (0 on the first). SHOWN: per block,
  // 1 where LUMA shows what is there now; empty: everywhere. Elsewhere nothing is seen and nothing is learned.
  void Look(const cv::Mat& luma, double step_s, const std::vector<std::uint8_t>& shown = {});

  // The view of the scene goes on: NEW_FROM_OLD is the homography between its pixels. What is known of the scene goes
  // with it; a block that comes into view is learned from the first frame that shows it.
  void Move(const cv::Matx33d& new_from_old);

  int blocks_across() const { return across_; }
  int blocks_down() const { return down_; }
  const cv::Mat& level() const { return level_; }  // CV_8UC1, the background's grey levels, offset not included
  int OffsetOfBlock(int block) const { return offset_[static_cast<std::size_t>(block)]; }
  // Sum over the block of what exceeds its threshold, in grey levels.
  int ExcessOfBlock(int block) const { return excess_[static_cast<std::size_t>(block)]; }
  // What of that is more than the block has had over the last second or so: before a swaying tree a rocket stands out.
  int UnusualExcessOfBlock(int block) const {
    const auto i = static_cast<std::size_t>(block);
    return std::max(0, excess_[i] - static_cast<int>(kUsualTimes * usual_excess_[i]));
  }
  int ThresholdOfBlock(int block) const { return threshold_[static_cast<std::size_t>(block)] / kThresholdUnit; }
  // Share of the last second or so in which something was in the block, 0..1: leaves and people, not a rocket on its
  // way.
  double BusyShareOfBlock(int block) const { return busy_share_[static_cast<std::size_t>(block)] / 255.0; }
  // Blocks in which something is, in reading order.
  const std::vector<int>& busy_blocks() const { return busy_; }

 private:
  static constexpr int kThresholdUnit = 1024;
  static constexpr float kUsualTimes = 1.5F;

  void Start(const cv::Mat& luma);
  void EstimateNoise(const cv::Mat& luma);
  void EstimateOffsets(const cv::Mat& luma);
  void SetOffsetsOfStrip(int strip);
  void LearnNew(const cv::Mat& luma);
  bool Shown(std::size_t block) const { return shown_ == nullptr || (*shown_)[block] != 0; }
  void ScanStrip(const cv::Mat& luma, int strip);
  void JudgeStrip(int strip, double step_s);
  void FollowStrip(const cv::Mat& luma, int strip, int every, int phase);

  int across_ = 0;
  int down_ = 0;
  int frames_ = 0;
  double looked_s_ = 0.0;  // since the first frame
  cv::Mat level_;
  std::vector<std::uint16_t> threshold_;    // per block, in 1/1024 grey level
  std::vector<std::uint16_t> excess_;       // per block
  std::vector<std::uint8_t> crossed_;       // per block: 1 where noise crossed the threshold on the frame before
  std::vector<std::uint16_t> busy_frames_;  // per block: frames in a row with something in it
  std::vector<float> busy_share_;           // per block, 0..255
  std::vector<float> usual_excess_;         // per block, smoothed over kBusyMemorySeconds
  std::vector<std::int8_t> offset_;         // per block
  std::vector<std::uint8_t> unknown_;       // per block: 1 where nothing was seen yet; empty: nowhere
  const std::vector<std::uint8_t>* shown_ = nullptr;  // while looking
  std::uint16_t first_threshold_ = 12 * kThresholdUnit;
  std::vector<int> busy_;
  cv::Mat cell_offset_;  // CV_32F, coarse grid
  std::vector<std::int16_t> samples_;
  bool any_offset_ = false;
  // One strip's values, spread over its pixels.
  std::vector<std::uint8_t> strip_threshold_, strip_cap_, strip_lift_, strip_drop_, strip_follow_;
  std::vector<std::uint16_t> strip_sum_;
};

}  // namespace loftline
