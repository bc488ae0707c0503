// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/frame_source.h"

#include <array>
#include <cstddef>
#include <optional>
#include <set>
#include <utility>
#include <vector>

namespace loftline {

// How three pictures A, B, C differ.
struct MotionSeen {
  // B from A, beside C from B, where the latter is much: 1 where motion goes on, at least about 1/2 where a fast body
  // leaves one place for another, and next to 0 where B is A once more.
  double before_share = 1.0;
  int blocks = 0;  // of 8 x 8 pixels in which things move from B to C
};

// Every second row is looked at. Nothing where nothing moves from B to C. All CV_8UC1, of one size.
std::optional<MotionSeen> MotionBefore(const cv::Mat& a, const cv::Mat& b, const cv::Mat& c);

// Which frames repeat the one before, from MotionBefore() of each. One that is all but the same is, where things moved
// just before and move on just after; what lies still and starts to move is no repeat. One that is only alike, or where
// nothing moves, is where every second frame was lately: 30 frames a second stored as 60.
class RepeatRule {
 public:
  bool IsRepeat(int frame, const std::optional<MotionSeen>& motion);
  // Frames that were taken for new ones until so many others of their kind had come.
  const std::vector<int>& late() const { return late_; }

 private:
  std::array<int, 2> votes_{};             // of late repeats among even and odd frames
  std::array<std::vector<int>, 2> alike_;  // those that the votes are from and that were no repeats yet
  std::vector<int> late_;
  int blocks_to_next_ = 0, blocks_to_last_ = 0;  // in which things moved, from the last frame on and up to it
};

// Leaves out pictures that a clip stores twice, as phones do in poor light and as converters to a higher rate do. The
// first of the two has the time at which it was taken; as a new place at a new time the second would be false. A frame
// is handed out when the one after it has been read.
class WithoutRepeats : public FrameSource {
 public:
  // ALWAYS: frames to hand out in any case. SOURCE must outlive this.
  WithoutRepeats(FrameSource& source, std::set<int> always) : source_(source), always_(std::move(always)) {}

  const ClipInfo& info() const override { return source_.info(); }
  Expected<std::optional<Frame>> Read() override;
  int repeats() const { return repeats_; }                       // left out up to now
  const std::vector<int>& late() const { return rule_.late(); }  // handed out, but repeats as it turned out

 private:
  struct Planes {
    cv::Mat luma, chroma_blue, chroma_red;
  };

  Expected<std::optional<Frame>> ReadOwned();

  FrameSource& source_;
  std::set<int> always_;
  std::optional<Frame> given_, next_;  // with pixels of their own, or in planes_
  std::array<Planes, 3> planes_;
  std::size_t given_slot_ = 0, next_slot_ = 0, read_slot_ = 0;
  std::optional<Error> failure_;
  bool started_ = false;
  RepeatRule rule_;
  int repeats_ = 0;
};

}  // namespace loftline
