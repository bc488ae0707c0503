// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/repeated_frames.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <utility>
#include <vector>

namespace loftline {
namespace {

constexpr int kBlockPx = 8, kRowStep = 2;
constexpr int kLooked = kBlockPx * kBlockPx / kRowStep;
constexpr int kMoves = 8 * kLooked;  // sum of differences over a block: 8 grey levels, well above coding noise
constexpr double kTheSame = 0.06;    // of the motion that follows, in so many blocks
constexpr int kSurelyMoves = 8, kHardlyMoves = 2;  // blocks
constexpr double kAlike = 0.3;
constexpr int kMostVotes = 8, kVotesToBelieve = 3;

int BlockDifference(const cv::Mat& a, const cv::Mat& b, int x, int y) {
  int sum = 0;
  for (int row = y; row < y + kBlockPx; row += kRowStep) {
    const std::uint8_t* p = a.ptr(row) + x;
    const std::uint8_t* q = b.ptr(row) + x;
    for (int i = 0; i < kBlockPx; ++i) sum += std::abs(p[i] - q[i]);
  }
  return sum;
}

}  // namespace

std::optional<MotionSeen> MotionBefore(const cv::Mat& a, const cv::Mat& b, const cv::Mat& c) {
  if (a.size() != b.size() || b.size() != c.size()) return std::nullopt;
  double before = 0.0, after = 0.0;
  int blocks = 0;
  std::vector<std::uint16_t> columns(static_cast<std::size_t>(b.cols));
  for (int y = 0; y + kBlockPx <= b.rows; y += kBlockPx) {
    std::fill(columns.begin(), columns.end(), std::uint16_t{0});
    for (int row = y; row < y + kBlockPx; row += kRowStep) {
      const std::uint8_t* p = b.ptr(row);
      const std::uint8_t* q = c.ptr(row);
      for (std::size_t x = 0; x < columns.size(); ++x) {  // so written it becomes vector instructions
        const std::uint8_t high = std::max(p[x], q[x]), low = std::min(p[x], q[x]);
        columns[x] = static_cast<std::uint16_t>(columns[x] + static_cast<std::uint8_t>(high - low));
      }
    }
    for (int x = 0; x + kBlockPx <= b.cols; x += kBlockPx) {
      int sum = 0;
      for (int i = 0; i < kBlockPx; ++i) sum += columns[static_cast<std::size_t>(x + i)];
      if (sum < kMoves) continue;
      ++blocks;
      after += sum;
      before += BlockDifference(a, b, x, y);
    }
  }
  if (blocks == 0) return std::nullopt;
  return MotionSeen{before / after, blocks};
}

bool RepeatRule::IsRepeat(int frame, const std::optional<MotionSeen>& motion) {
  const auto parity = static_cast<std::size_t>(frame % 2);
  int& votes = votes_[parity];
  const bool believed = votes >= kVotesToBelieve && votes_[1 - parity] == 0;
  const int blocks = motion ? motion->blocks : 0;
  const int to_it = std::exchange(blocks_to_next_, blocks);  // from the frame before to this one
  const int before = std::exchange(blocks_to_last_, to_it);  // and to the frame before
  if (!motion) return believed;
  if (motion->before_share > kAlike) {
    votes = std::max(0, votes - 2);
    if (votes == 0) alike_[parity].clear();
    return false;
  }
  votes = std::min(kMostVotes, votes + 1);
  const bool stands_still = before >= kSurelyMoves && to_it <= kHardlyMoves && blocks >= kSurelyMoves;
  if (believed || (stands_still && motion->before_share <= kTheSame)) return true;
  alike_[parity].push_back(frame);
  if (votes >= kVotesToBelieve && votes_[1 - parity] == 0) {
    late_.insert(late_.end(), alike_[parity].begin(), alike_[parity].end());
    alike_[parity].clear();
  }
  return false;
}

// New memory for every frame would cost more than the copying.
Expected<std::optional<Frame>> WithoutRepeats::ReadOwned() {
  Expected<std::optional<Frame>> frame = source_.Read();
  if (!frame || !frame->has_value()) return frame;
  read_slot_ = 0;
  while (read_slot_ == given_slot_ || read_slot_ == next_slot_) ++read_slot_;
  Planes& planes = planes_[read_slot_];
  if (!(*frame)->luma_stays) {
    (*frame)->luma.copyTo(planes.luma);
    (*frame)->luma = planes.luma;
  }
  (*frame)->chroma_blue.copyTo(planes.chroma_blue);
  (*frame)->chroma_red.copyTo(planes.chroma_red);
  (*frame)->chroma_blue = planes.chroma_blue;
  (*frame)->chroma_red = planes.chroma_red;
  return frame;
}

Expected<std::optional<Frame>> WithoutRepeats::Read() {
  if (failure_) return *failure_;
  if (!started_) {
    started_ = true;
    Expected<std::optional<Frame>> first = ReadOwned();
    if (!first) return first;
    next_ = std::move(*first);
    next_slot_ = read_slot_;
  }
  while (next_) {
    Expected<std::optional<Frame>> after = ReadOwned();
    if (!after) failure_ = after.error();  // told after the good frame before it
    const bool repeats = after && after->has_value() && given_ &&
                         rule_.IsRepeat(next_->index, MotionBefore(given_->luma, next_->luma, (*after)->luma)) &&
                         always_.count(next_->index) == 0;
    repeats_ += repeats ? 1 : 0;
    if (!repeats) {
      given_ = std::move(next_);
      given_slot_ = next_slot_;
    }
    next_ = after ? std::move(*after) : std::nullopt;
    next_slot_ = read_slot_;
    if (!repeats) return given_;
  }
  return std::optional<Frame>();
}

}  // namespace loftline
