// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/body_patch.h"
#include "tracker/frame_source.h"
#include "tracker/link_paths.h"

#include <deque>
#include <memory>
#include <optional>
#include <vector>

namespace loftline {

// Patches along everything that moves like a flight, whether it was seen on a frame or only expected there, so that the
// flight can be looked at again when its whole path is known. Memory is bounded: some whole frames (for the moments
// before a tracklet was noticed) and kMostBytes of patches, the least promising dropped first, then the oldest.
class PatchPool {
 public:
  // FRAME has just been added to LINKER; BACKGROUND has looked at it. VIEW: what FRAME and BACKGROUND are drawn in.
  // PLACE: where the camera pointed. EXPECTED_PX: where a person's marks say that the rocket is, in the first frame's
  // pixels, like all other places.
  void Add(const Frame& frame,
           const ViewMap& view,
           const FramePlace& place,
           const Background& background,
           const PathLinker& linker,
           const std::optional<Eigen::Vector2d>& expected_px = std::nullopt);

  // The patch of a frame that holds AT_PX (of the first frame's pixels) with the most room around it; null where there
  // is none.
  std::shared_ptr<const BodyPatch> Find(int frame, const Eigen::Vector2d& at_px) const;

  int first_frame() const { return frames_.empty() ? 0 : frames_.front().frame; }
  // Frames and their time stamps, oldest first.
  enum class Promise { kNone, kSome, kGood };
  struct Kept {
    std::shared_ptr<const BodyPatch> patch;
    Promise promise = Promise::kNone;
  };
  struct FramePatches {
    int frame = 0;
    double time_s = 0.0;
    FramePlace place;
    std::vector<Kept> patches;
  };
  const std::deque<FramePatches>& frames() const { return frames_; }

 private:
  struct WholeFrame {
    int frame = 0;
    double time_s = 0.0;
    ViewMap view;
    cv::Mat luma;
  };
  // A tracklet that flew steadily, to be followed for a while after it was lost.
  struct Followed {
    std::vector<Candidate> points;  // the newest ones
    int first_frame = 0;            // with the first point's place, tells tracklets apart
    Eigen::Vector2d first_px = Eigen::Vector2d::Zero();
    BodyMeasure body;
    bool live = true;
  };
  void KeepWhole(const Frame& frame, const ViewMap& view);
  void Follow(const Tracklet& tracklet);
  void FollowLost(double now_s, const Background& background);
  // Around BODY, which lies in the first frame's pixels; the first, on the newest frame.
  void AddPatch(const Background& background, const BodyMeasure& body, double room_px, Promise promise);
  void AddPatchOf(const WholeFrame& whole,
                  FramePatches* into,
                  const Background& background,
                  const BodyMeasure& body,
                  double room_px,
                  Promise promise);
  void LookBack(const Tracklet& tracklet, const Background& background);
  void Shrink();
  void DropUpTo(Promise promise, int* first_frame);

  std::deque<WholeFrame> whole_;
  std::vector<Followed> followed_;
  std::deque<FramePatches> frames_;
  std::size_t bytes_ = 0;
  int first_with_none_ = 0, first_with_some_ = 0;  // frames before these have lost their patches of that promise
};

}  // namespace loftline
