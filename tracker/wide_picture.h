// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/frame_source.h"
#include "tracker/track_clip.h"
#include "tracker/view_map.h"

#include <deque>
#include <memory>

namespace loftline {

// Views of the scene of a camera that turns, enough of them to lay the whole flight out in one picture. Memory is
// bounded: old views are thinned out.
class ViewsKept {
 public:
  // Whether a frame drawn in VIEW shows much that the one kept last does not. SIZE: of the frame.
  bool Wants(const ViewMap& view, const cv::Size& size) const;
  // PICTURE: a whole frame, with its view.
  void Keep(std::shared_ptr<const Cutout> picture);

  // Puts TRACK's backdrop, cut-outs and the positions in them into one wide picture, drawn as the camera would have
  // taken it that looked at the flight's middle. Leaves them as they are where the view never changed.
  void LayOut(ClipTrack* track) const;

 private:
  std::deque<std::shared_ptr<const Cutout>> views_;
};

}  // namespace loftline
