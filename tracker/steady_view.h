// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/camera_motion.h"
#include "tracker/clip_info.h"
#include "tracker/frame_source.h"
#include "tracker/still_vote.h"
#include "tracker/track.h"
#include "tracker/view_map.h"

#include <cstdint>
#include <optional>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// The clip as a camera would have filmed it that never moved: frames of a moving camera are drawn anew in the pixels of
// a view that stands still, which is the first frame's to begin with. While the camera stands still, frames pass as
// they are. Where it turns on (to follow the rocket), the view goes after it: by whole blocks of pixels, so that
// nothing has to be drawn anew, and now and then to where the camera points, lest the picture be stretched.
class SteadyView {
 public:
  static constexpr int kViewBlockPx = 8;

  explicit SteadyView(const ClipInfo& clip);

  // FRAME drawn in the view's pixels; its pictures are valid until the next call. What the frame does not show
  // keeps the look that it had last. WITH_COLOUR: the colour planes too. FRAME's times are real ones.
  Frame Look(const Frame& frame, bool with_colour);

  // False: it is not known where the camera pointed on the frame looked at last; its picture is worth nothing.
  bool trusted() const { return poses_.empty() || poses_.back().reference_from_frame.has_value(); }
  bool moved() const { return moved_; }
  // How the view that the frame was drawn in lies in the first frame.
  const ViewMap& map() const { return map_; }
  // Of the frame looked at last.
  FramePlace place() const;
  // The view has gone on with the frame looked at last: how the view before lies in it.
  const std::optional<Eigen::Matrix3d>& view_from_last_view() const { return view_from_last_view_; }
  // Per block of kViewBlockPx, in reading order: 1 where the frame shows all of it. Empty where the view is the first
  // frame's: what a hand's shake hides at the border is soon seen again.
  const std::vector<std::uint8_t>& shown_blocks() const { return shown_; }
  // A pixel of the frame looked at last, in the first frame's pixels; nothing where that is not known.
  std::optional<Eigen::Vector2d> InFirstFrame(const Eigen::Vector2d& at_px) const;

  // Positions in the first frame's pixels, as they are in the frame's own. Of frames that cannot be trusted, they
  // become hidden.
  void ToOwnPixels(Track* track) const;
  // Every frame looked at; empty where the camera never moved.
  std::vector<CameraPose> poses() const { return moved_ ? poses_ : std::vector<CameraPose>(); }

 private:
  void Draw(const Frame& frame, const Eigen::Matrix3d& view_from_frame, bool with_colour);
  void NoteStd(double time_s);
  void GoAfter(const Eigen::Matrix3d& first_from_frame);
  void NoteShown(const Eigen::Matrix3d& view_from_frame);
  bool ClearlyMoves(const FrameMotion& motion) const;
  CameraPose PoseOf(const Frame& frame, const FrameMotion& motion) const;

  int width_px_, height_px_;
  CameraMotion camera_;
  std::optional<StillVote> first_look_;
  bool moved_ = false;
  FrameMotion last_;
  std::vector<CameraPose> poses_;
  double lately_std_px_ = 0.0;  // of where the camera pointed beside the frames around, in the first frame's pixels
  ViewMap map_;
  std::optional<Eigen::Matrix3d> view_from_last_view_;
  std::vector<std::uint8_t> shown_;
  cv::Mat luma_, chroma_blue_, chroma_red_;
};

// The homography that comes nearest to MOTION over the whole picture, its rows' own moments included.
Eigen::Matrix3d HomographyOf(const FrameMotion& motion, int width_px, int height_px);

}  // namespace loftline
