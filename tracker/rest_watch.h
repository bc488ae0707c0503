// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/camera_turn.h"
#include "tracker/patch_align.h"
#include "tracker/reduced_picture.h"

#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// Tells cheaply whether a camera still stands exactly where it stood: a few dozen small patches are compared with the
// same places of the new frame. It asks only whether enough of the picture has *not* moved; people, leaves and clouds
// may do what they like in the rest of it.
class RestWatch {
 public:
  // Starts from a frame at rest.
  void Start(const ReducedPicture& picture, int width_px, int height_px, const PinholeView& view);
  bool watching() const { return probes_.size() >= kFewest; }

  struct Answer {
    bool at_rest = false;
    bool moved = false;  // neither of them: cannot tell, too little of the picture is as it was
    int agreeing = 0;    // patches that moved alike, or not at all
    int looked_at = 0;
    double moved_px = 0.0;  // at the corner that moved most, where they agree on a movement
  };
  Answer Look(const cv::Mat& luma, double least_move_px);

 private:
  static constexpr std::size_t kFewest = 8;
  static constexpr std::size_t kMost = 48;
  struct Probe {
    AlignPatch patch;
    cv::Point top_left_px;  // of the frame
    Eigen::Vector2d at_px;
    double wander_px2 = 0.0;  // per axis, mean square of its movements during the rest: leaves sway
  };

  std::vector<Probe> probes_;
  PinholeView view_;
  int width_px_ = 0;
  int height_px_ = 0;
  int shrink_ = 1;
};

// Whether a turn is more than its own uncertainty, every landmark's errors being shared by others.
bool IsSignificant(const CameraTurn& turn, const TurnMatrix& covariance);

// How far a turn moves the corner of the picture that it moves most.
double LargestMovePx(const CameraTurn& turn, const PinholeView& view, int width_px, int height_px);

}  // namespace loftline
